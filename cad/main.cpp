// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-cad: what cellproof asks of Open CASCADE, in a process of its own.
#include <cerrno>
#include <cstdio>
#include <exception>
#include <iostream>
#include <iterator>
#include <new>

#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Standard_Failure.hxx>
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include "cad/commands.hpp"

namespace cellproof::cad {

namespace {

/// Where standard output led when the program began. Since then it leads nowhere, as the library prints.
int first_output = -1;

void silence() {
  Message::DefaultMessenger()->ChangePrinters().Clear();
  first_output = ::dup(STDOUT_FILENO);
  const int nowhere = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
  ::dup2(nowhere, STDOUT_FILENO);
  ::close(nowhere);
}

int say(Exit status, const std::string& sentence) {
  fmt::print(stderr, "{}\n", sentence);
  return status;
}

int run(int argc, char** argv) {
  CommandLine program("cellproof-cad", "cellproof-cad: STEP files for cellproof, which starts it by itself");
  program.itself().closing("Exit status: 0 done, 2 the input can't be used, 3 an internal error.");
  add_tessellate(program);
  add_solids(program);
  add_write(program);
  add_cut_mesh(program);
  add_cut_step(program);
  const auto request = program.read(argc, argv);
  if (!request)
    return say(exit_refused, fmt::format("cellproof-cad: {}; {}", request.error().what, request.error().mend));
  if (request->run) return request->run();
  answer(request->text);
  return exit_done;
}

int guarded(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const Refused& refused) {
    return say(exit_refused, refused.what());
  } catch (const std::bad_alloc&) {
    return say(exit_refused, "takes more memory than is allowed");
  } catch (const Standard_Failure& failure) {
    return say(exit_refused,
               fmt::format("can't be worked on ({}: {})", failure.DynamicType()->Name(), failure.GetMessageString()));
  } catch (const std::exception& bug) {
    return say(exit_internal, fmt::format("internal error: {}", bug.what()));
  }
}

}  // namespace

std::string standard_input() {
  return {std::istreambuf_iterator<char>(std::cin), {}};
}

void answer(std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(first_output, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) throw Refused("can't write its answer to standard output");
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
}

}  // namespace cellproof::cad

int main(int argc, char** argv) {
  cellproof::cad::silence();
  return cellproof::cad::guarded(argc, argv);
}
