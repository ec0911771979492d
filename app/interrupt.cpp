// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/interrupt.hpp"

#include <chrono>
#include <csignal>
#include <memory>
#include <thread>

#include <pthread.h>

namespace cellproof {

std::stop_token stopped_by_interrupt() {
  // Blocked before any other thread starts, so that the waiting thread alone receives it.
  sigset_t interrupt;
  sigemptyset(&interrupt);
  sigaddset(&interrupt, SIGINT);
  pthread_sigmask(SIG_BLOCK, &interrupt, nullptr);
  auto source = std::make_shared<std::stop_source>();
  std::thread([interrupt, source] {
    int received = 0;
    sigwait(&interrupt, &received);
    source->request_stop();
    pthread_sigmask(SIG_UNBLOCK, &interrupt, nullptr);  // a second one has its usual effect
    for (;;) std::this_thread::sleep_for(std::chrono::hours(1));
  }).detach();
  return source->get_token();
}

}  // namespace cellproof
