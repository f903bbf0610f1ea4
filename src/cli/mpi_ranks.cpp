// SPDX-License-Identifier: Apache-2.0
#include "mpi_ranks.hpp"

#include <mpi.h>
#include <chrono>
#include <cstdlib>
#include <cstring>
#include <list>
#include <thread>

namespace cabinload::cli {
namespace {

constexpr int kGive = 1, kDone = 2;

/// Started by mpirun, or by a scheduler that speaks its protocol.
bool under_mpi() {
  for (const char* name : {"OMPI_COMM_WORLD_SIZE", "PMI_SIZE", "PMIX_RANK", "MPI_LOCALNRANKS"})
    if (std::getenv(name) != nullptr) return true;
  return false;
}

/// Until `there` is true. MPI's own waiting takes a whole core, which others may need.
template <class There>
void wait_until(There there) {
  while (!there()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
}

bool waits_for_me(int from, int tag, MPI_Status& status) {
  int there = 0;
  MPI_Iprobe(from, tag, MPI_COMM_WORLD, &there, &status);
  return there != 0;
}

class MpiRanks : public study::Ranks {
 public:
  MpiRanks(int& argc, char**& argv) {
    int provided = 0;
    MPI_Init_thread(&argc, &argv, MPI_THREAD_FUNNELED, &provided);
    MPI_Comm_rank(MPI_COMM_WORLD, &rank_);
    MPI_Comm_size(MPI_COMM_WORLD, &count_);
  }
  ~MpiRanks() override {
    settle(true);
    MPI_Request all = MPI_REQUEST_NULL;  // the first one may still write the table
    MPI_Ibarrier(MPI_COMM_WORLD, &all);
    wait_until([&] {
      int here = 0;
      MPI_Test(&all, &here, MPI_STATUS_IGNORE);
      return here != 0;
    });
    MPI_Finalize();
  }
  MpiRanks(const MpiRanks&) = delete;
  MpiRanks& operator=(const MpiRanks&) = delete;

  [[nodiscard]] int rank() const override { return rank_; }
  [[nodiscard]] int count() const override { return count_; }

  void give(int rank, std::uint64_t block) override {
    std::string bytes(sizeof block, '\0');
    std::memcpy(bytes.data(), &block, sizeof block);
    post(rank, kGive, std::move(bytes));
  }
  std::optional<Done> take(bool wait) override {
    settle(false);
    MPI_Status status;
    const auto there = [&] { return waits_for_me(MPI_ANY_SOURCE, kDone, status); };
    if (wait)
      wait_until(there);
    else if (!there())
      return std::nullopt;
    const std::string bytes = receive(status.MPI_SOURCE, kDone);
    Done done;
    done.rank = status.MPI_SOURCE;
    std::memcpy(&done.block, bytes.data(), sizeof done.block);
    done.bytes = bytes.substr(sizeof done.block);
    return done;
  }
  std::uint64_t next() override {
    settle(false);
    std::uint64_t block = 0;
    const std::string bytes = receive(0, kGive);
    std::memcpy(&block, bytes.data(), sizeof block);
    return block;
  }
  void send(std::uint64_t block, std::string bytes) override {
    std::string message(sizeof block, '\0');
    std::memcpy(message.data(), &block, sizeof block);
    post(0, kDone, message + bytes);
  }
  [[noreturn]] void abort(int exit_code) override {
    MPI_Abort(MPI_COMM_WORLD, exit_code);
    std::_Exit(exit_code);
  }

 private:
  struct Message {
    std::string bytes;
    MPI_Request request = MPI_REQUEST_NULL;
  };
  /// Sends without waiting: the receiver may be computing.
  void post(int to, int tag, std::string bytes) {
    settle(false);
    Message& m = posted_.emplace_back();
    m.bytes = std::move(bytes);
    MPI_Isend(m.bytes.data(), static_cast<int>(m.bytes.size()), MPI_BYTE, to, tag, MPI_COMM_WORLD,
              &m.request);
  }
  /// Forgets what has arrived.
  void settle(bool wait) {
    for (auto m = posted_.begin(); m != posted_.end();) {
      int gone = 0;
      if (wait)
        gone = MPI_Wait(&m->request, MPI_STATUS_IGNORE) == MPI_SUCCESS ? 1 : 0;
      else
        MPI_Test(&m->request, &gone, MPI_STATUS_IGNORE);
      m = gone != 0 ? posted_.erase(m) : std::next(m);
    }
  }
  static std::string receive(int from, int tag) {
    MPI_Status status;
    wait_until([&] { return waits_for_me(from, tag, status); });
    int size = 0;
    MPI_Get_count(&status, MPI_BYTE, &size);
    std::string bytes(static_cast<std::size_t>(size), '\0');
    MPI_Recv(bytes.data(), size, MPI_BYTE, from, tag, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
    return bytes;
  }

  int rank_ = 0, count_ = 1;
  std::list<Message> posted_;
};

}  // namespace

std::unique_ptr<study::Ranks> mpi_ranks(int& argc, char**& argv) {
  if (!under_mpi()) return nullptr;
  return std::make_unique<MpiRanks>(argc, argv);
}

}  // namespace cabinload::cli
