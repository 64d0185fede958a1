// A disk below SQLite that counts, fills up, and loses what was not synced when its power is cut.
//
// One thread at a time; several connections, of which one writes. set_capacity() from any thread. Files live
// in memory; a Disk is known to SQLite by its name while it lives.
#pragma once

#include <atomic>
#include <cstdint>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <vector>

struct sqlite3_vfs;

namespace lullwatt::tests {

class Disk {
  public:
    explicit Disk(std::string name);
    ~Disk();
    Disk(const Disk&) = delete;
    Disk& operator=(const Disk&) = delete;

    [[nodiscard]] const std::string& name() const { return name_; }

    // After so many further writes, truncations and syncs everything fails, as when the power is gone.
    void cut_power_after(std::uint64_t operations) { operations_left_ = operations; }
    [[nodiscard]] bool is_off() const { return operations_left_ == 0; }
    // What a reader finds after the power is back: of what was not synced each 512-byte sector is written,
    // left, or torn to rubbish, by chance and in no order; a file or a length never synced may be gone.
    void power_on(std::mt19937& chance);

    // No write may make the files together larger. Less than they are: nothing more fits.
    void set_capacity(std::uint64_t bytes) { capacity_ = bytes; }

    // Syncs that begin wait until it is over. From any thread.
    void stall(bool stalled) {
        stalled_ = stalled;
        stalled_.notify_all();
    }
    void wait_while_stalled() const { stalled_.wait(true); }

    struct Counts {
        std::uint64_t written = 0;  // bytes
        std::uint64_t syncs = 0;
    };
    [[nodiscard]] Counts counts() const { return counts_; }
    // Bytes of all files.
    [[nodiscard]] std::uint64_t size() const;

    // What SQLite's methods below work on.
    struct File {
        struct Write {
            std::uint64_t offset = 0;
            std::string bytes;
            bool truncate = false;  // to `offset`
        };
        std::string now;      // what reading gives
        std::string durable;  // what the last sync left
        bool exists_durably = false;
        std::map<const void*, int> locks;  // by handle: SQLite's levels
        std::vector<Write> pending;
        std::vector<std::unique_ptr<std::vector<std::uint8_t>>> shared;  // the log's index: memory only
    };
    File* open(const std::string& path, bool create);
    [[nodiscard]] bool has(const std::string& path) const { return files_.count(path) != 0; }
    void remove(const std::string& path) { files_.erase(path); }
    // False: the power is off.
    bool operate();
    [[nodiscard]] bool fits(const File& file, std::uint64_t end) const;
    void note_write(std::uint64_t bytes) { counts_.written += bytes; }
    void note_sync() { ++counts_.syncs; }

  private:
    std::string name_;
    std::map<std::string, std::unique_ptr<File>> files_;
    std::uint64_t operations_left_ = ~std::uint64_t{0};
    std::atomic<std::uint64_t> capacity_ = ~std::uint64_t{0};
    std::atomic<bool> stalled_ = false;
    Counts counts_;
    std::unique_ptr<sqlite3_vfs> vfs_;
};

}  // namespace lullwatt::tests
