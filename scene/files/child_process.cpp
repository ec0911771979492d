// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/child_process.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <utility>

#include <fcntl.h>
#include <poll.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace cellproof {

namespace {

using Clock = std::chrono::steady_clock;

/// A file descriptor that is closed with this, and in every program that we start.
class Descriptor {
 public:
  explicit Descriptor(int number = -1) : number_(number) {}
  Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
  Descriptor& operator=(Descriptor&& other) noexcept {
    std::swap(number_, other.number_);
    return *this;
  }
  ~Descriptor() { close(); }
  int number() const { return number_; }
  bool open() const { return number_ >= 0; }
  void close() {
    if (number_ >= 0) ::close(std::exchange(number_, -1));
  }

 private:
  int number_;
};

struct Pipe {
  Descriptor read, write;
};

Pipe make_pipe() {
  std::array<int, 2> ends{-1, -1};
  if (::pipe2(ends.data(), O_CLOEXEC) != 0) return {Descriptor(), Descriptor()};
  return {Descriptor(ends[0]), Descriptor(ends[1])};
}

/// The input as a file in memory: nobody has to keep writing it.
Descriptor file_in_memory(std::string_view bytes) {
  Descriptor file(::memfd_create("input", MFD_CLOEXEC));
  while (file.open() && !bytes.empty()) {
    const ssize_t written = ::write(file.number(), bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return Descriptor();
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  if (file.open()) ::lseek(file.number(), 0, SEEK_SET);
  return file;
}

/// In the child, between fork and exec: nothing here may allocate or lock.
[[noreturn]] void become(const char* program, char* const* arguments, int input, int output, int error, int failure,
                         rlim_t memory) {
  ::setpgid(0, 0);
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);
  const rlimit limit{memory, memory}, no_core{0, 0};
  if (memory != RLIM_INFINITY) ::setrlimit(RLIMIT_AS, &limit);
  ::setrlimit(RLIMIT_CORE, &no_core);
  if (::dup2(input, STDIN_FILENO) >= 0 && ::dup2(output, STDOUT_FILENO) >= 0 && ::dup2(error, STDERR_FILENO) >= 0)
    ::execv(program, arguments);
  const int why = errno;
  const ssize_t ignored = ::write(failure, &why, sizeof why);
  static_cast<void>(ignored);
  ::_exit(127);
}

/// Reads what is there; false at the end.
bool read_some(const Descriptor& from, std::string& into, std::size_t most) {
  std::array<char, 65536> buffer;
  const ssize_t count = ::read(from.number(), buffer.data(), buffer.size());
  if (count < 0) return errno == EINTR || errno == EAGAIN;
  if (count == 0) return false;
  const std::size_t room = most - std::min(most, into.size());
  into.append(buffer.data(), std::min(static_cast<std::size_t>(count), room));
  return true;
}

constexpr std::size_t most_error = 65536;
constexpr int look_every_ms = 20;

/// Until both are at their end, the time is over or somebody stops it; says which of the latter.
ChildResult::End read_all(Descriptor& output, Descriptor& error, Clock::time_point deadline,
                          const std::stop_token& stop, ChildResult& result) {
  while (output.open() || error.open()) {
    if (stop.stop_requested()) return ChildResult::End::stopped;
    if (Clock::now() >= deadline) return ChildResult::End::out_of_time;
    std::array<pollfd, 2> ends = {{{output.number(), POLLIN, 0}, {error.number(), POLLIN, 0}}};
    if (::poll(ends.data(), ends.size(), look_every_ms) <= 0) continue;
    if (ends[0].revents != 0 && !read_some(output, result.output, result.output.max_size())) output.close();
    if (ends[1].revents != 0 && !read_some(error, result.error, most_error)) error.close();
  }
  return ChildResult::End::exited;
}

/// Waits for a child that has closed its output, still within its time.
ChildResult::End wait_until(pid_t child, Clock::time_point deadline, const std::stop_token& stop, int& status) {
  for (;;) {
    const pid_t ended = ::waitpid(child, &status, WNOHANG);
    if (ended == child || (ended < 0 && errno != EINTR)) return ChildResult::End::exited;
    if (stop.stop_requested()) return ChildResult::End::stopped;
    if (Clock::now() >= deadline) return ChildResult::End::out_of_time;
    ::usleep(500);
  }
}

void take_status(int status, ChildResult& result) {
  if (WIFSIGNALED(status)) {
    result.end = ChildResult::End::killed_by_signal;
    result.status = WTERMSIG(status);
  } else {
    result.end = ChildResult::End::exited;
    result.status = WEXITSTATUS(status);
  }
}

/// Follows the child to its end.
void follow(pid_t child, Descriptor& output, Descriptor& error, Clock::time_point deadline, const std::stop_token& stop,
            ChildResult& result) {
  int status = 0;
  ChildResult::End end = read_all(output, error, deadline, stop, result);
  if (end == ChildResult::End::exited) end = wait_until(child, deadline, stop, status);
  if (end == ChildResult::End::exited) return take_status(status, result);
  ::kill(-child, SIGKILL);
  ::kill(child, SIGKILL);
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  result.end = end;
}

}  // namespace

ChildResult run_child(const std::filesystem::path& program, const std::vector<std::string>& arguments,
                      std::string_view input, const ChildLimits& limits, const std::stop_token& stop) {
  const Clock::time_point deadline = Clock::now() + limits.time;
  ChildResult result;
  const std::string name = program.string();
  std::vector<char*> words = {const_cast<char*>(name.c_str())};
  for (const std::string& argument : arguments) words.push_back(const_cast<char*>(argument.c_str()));
  words.push_back(nullptr);
  Pipe output = make_pipe(), error = make_pipe(), failure = make_pipe();
  const Descriptor in = file_in_memory(input);
  result.status = errno;
  if (!output.read.open() || !error.read.open() || !failure.read.open() || !in.open()) return result;
  const pid_t child = ::fork();
  if (child == 0)
    become(name.c_str(), words.data(), in.number(), output.write.number(), error.write.number(), failure.write.number(),
           limits.memory_bytes == no_memory_limit ? RLIM_INFINITY : limits.memory_bytes);
  result.status = errno;
  if (child < 0) return result;
  output.write.close();
  error.write.close();
  failure.write.close();
  follow(child, output.read, error.read, deadline, stop, result);
  int why = 0;
  if (::read(failure.read.number(), &why, sizeof why) == sizeof why) {
    result.end = ChildResult::End::not_started;
    result.status = why;
  }
  return result;
}

}  // namespace cellproof
