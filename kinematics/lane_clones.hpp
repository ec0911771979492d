// SPDX-License-Identifier: GPL-3.0-or-later
// A function compiled for several processors; the loader picks the one that this processor can run. The results are the
// same to the bit, as multiplications and additions are not fused.
#pragma once

#if defined(__x86_64__) && defined(__ELF__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define CELLPROOF_LANE_CLONES __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define CELLPROOF_LANE_CLONES
#endif
#define CELLPROOF_IN_LANE inline __attribute__((always_inline))
#define CELLPROOF_LAMBDA_IN_LANE __attribute__((always_inline))
