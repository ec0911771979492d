// SPDX-License-Identifier: GPL-3.0-or-later
// Nothing: its target holds the headers that the test programs have precompiled in common.
