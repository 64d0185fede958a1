#include "support/disk.hpp"

#include <algorithm>
#include <cstring>
#include <new>
#include <sqlite3.h>
#include <stdexcept>

namespace lullwatt::tests {
namespace {

constexpr std::uint64_t kSector = 512;

struct OpenFile {
    sqlite3_file base;
    Disk* disk;
    Disk::File* file;
};

OpenFile& of(sqlite3_file* file) { return *reinterpret_cast<OpenFile*>(file); }

void write_into(std::string& content, std::uint64_t offset, const std::string& bytes) {
    if (content.size() < offset + bytes.size()) content.resize(offset + bytes.size(), '\0');
    content.replace(offset, bytes.size(), bytes);
}

int close(sqlite3_file* handle) {
    of(handle).file->locks.erase(handle);
    return SQLITE_OK;
}

int read(sqlite3_file* handle, void* into, int amount, sqlite3_int64 offset) {
    const OpenFile& open = of(handle);
    if (open.disk->is_off()) return SQLITE_IOERR_READ;
    const std::string& now = open.file->now;
    const auto from = static_cast<std::uint64_t>(offset);
    const auto wanted = static_cast<std::uint64_t>(amount);
    const std::uint64_t there = from < now.size() ? std::min<std::uint64_t>(wanted, now.size() - from) : 0;
    std::memcpy(into, now.data() + (there == 0 ? 0 : from), there);
    if (there == wanted) return SQLITE_OK;
    std::memset(static_cast<char*>(into) + there, 0, wanted - there);
    return SQLITE_IOERR_SHORT_READ;
}

int write(sqlite3_file* handle, const void* bytes, int amount, sqlite3_int64 offset) {
    const OpenFile& open = of(handle);
    const auto end = static_cast<std::uint64_t>(offset) + static_cast<std::uint64_t>(amount);
    const bool was_off = open.disk->is_off();
    const bool is_on = open.disk->operate();
    if (was_off) return SQLITE_IOERR_WRITE;
    if (!open.disk->fits(*open.file, end)) return SQLITE_FULL;
    std::string written(static_cast<const char*>(bytes), static_cast<std::size_t>(amount));
    if (!is_on) {  // the cut finds it under way
        open.file->pending.push_back({static_cast<std::uint64_t>(offset), std::move(written)});
        return SQLITE_IOERR_WRITE;
    }
    write_into(open.file->now, static_cast<std::uint64_t>(offset), written);
    open.file->pending.push_back({static_cast<std::uint64_t>(offset), std::move(written)});
    open.disk->note_write(static_cast<std::uint64_t>(amount));
    return SQLITE_OK;
}

int truncate(sqlite3_file* handle, sqlite3_int64 size) {
    const OpenFile& open = of(handle);
    if (!open.disk->operate()) return SQLITE_IOERR_TRUNCATE;
    open.file->now.resize(static_cast<std::uint64_t>(size), '\0');
    open.file->pending.push_back({static_cast<std::uint64_t>(size), {}, true});
    return SQLITE_OK;
}

int sync(sqlite3_file* handle, int) {
    const OpenFile& open = of(handle);
    open.disk->wait_while_stalled();
    if (!open.disk->operate()) return SQLITE_IOERR_FSYNC;
    open.file->durable = open.file->now;
    open.file->exists_durably = true;
    open.file->pending.clear();
    open.disk->note_sync();
    return SQLITE_OK;
}

int file_size(sqlite3_file* handle, sqlite3_int64* size) {
    *size = static_cast<sqlite3_int64>(of(handle).file->now.size());
    return SQLITE_OK;
}

int lock(sqlite3_file* handle, int level) {
    for (const auto& [other, held] : of(handle).file->locks) {
        const bool bars = level == SQLITE_LOCK_EXCLUSIVE
                              ? held >= SQLITE_LOCK_SHARED
                              : level >= SQLITE_LOCK_RESERVED && held >= SQLITE_LOCK_RESERVED;
        if (other != handle && bars) return SQLITE_BUSY;
    }
    of(handle).file->locks[handle] = level;
    return SQLITE_OK;
}
int unlock(sqlite3_file* handle, int level) {
    of(handle).file->locks[handle] = level;
    return SQLITE_OK;
}
int is_reserved(sqlite3_file*, int* out) {
    *out = 0;
    return SQLITE_OK;
}
int control(sqlite3_file*, int, void*) { return SQLITE_NOTFOUND; }
int sector_size(sqlite3_file*) { return static_cast<int>(kSector); }
// As the system's own: bytes beside a write stay what they were.
int characteristics(sqlite3_file*) { return SQLITE_IOCAP_POWERSAFE_OVERWRITE; }

int map_shared(sqlite3_file* handle, int region, int size, int extend, volatile void** out) {
    auto& shared = of(handle).file->shared;
    const auto index = static_cast<std::size_t>(region);
    *out = nullptr;
    if (index >= shared.size() && extend == 0) return SQLITE_OK;
    while (shared.size() <= index)
        shared.push_back(std::make_unique<std::vector<std::uint8_t>>(static_cast<std::size_t>(size)));
    *out = shared[index]->data();
    return SQLITE_OK;
}
int lock_shared(sqlite3_file*, int, int, int) { return SQLITE_OK; }
void barrier(sqlite3_file*) {}
int unmap_shared(sqlite3_file* handle, int remove) {
    if (remove != 0) of(handle).file->shared.clear();
    return SQLITE_OK;
}

const sqlite3_io_methods kMethods = {2,
                                     close,
                                     read,
                                     write,
                                     truncate,
                                     sync,
                                     file_size,
                                     lock,
                                     unlock,
                                     is_reserved,
                                     control,
                                     sector_size,
                                     characteristics,
                                     map_shared,
                                     lock_shared,
                                     barrier,
                                     unmap_shared,
                                     nullptr,
                                     nullptr};

Disk& disk_of(sqlite3_vfs* vfs) { return *static_cast<Disk*>(vfs->pAppData); }

int open_file(sqlite3_vfs* vfs, const char* name, sqlite3_file* handle, int flags, int* out_flags) {
    auto* open = new (handle) OpenFile{};
    Disk& disk = disk_of(vfs);
    Disk::File* file = disk.open(name == nullptr ? "unnamed" : name, (flags & SQLITE_OPEN_CREATE) != 0);
    if (file == nullptr) return SQLITE_CANTOPEN;
    *open = {{&kMethods}, &disk, file};
    if (out_flags != nullptr) *out_flags = flags;
    return SQLITE_OK;
}

int remove_file(sqlite3_vfs* vfs, const char* name, int) {
    if (!disk_of(vfs).operate()) return SQLITE_IOERR_DELETE;
    disk_of(vfs).remove(name);
    return SQLITE_OK;
}

int access_file(sqlite3_vfs* vfs, const char* name, int, int* out) {
    *out = disk_of(vfs).has(name) ? 1 : 0;
    return SQLITE_OK;
}

int full_path(sqlite3_vfs*, const char* name, int size, char* out) {
    std::snprintf(out, static_cast<std::size_t>(size), "%s", name);
    return SQLITE_OK;
}

// Fixed, so that every run is the same.
int randomness(sqlite3_vfs*, int size, char* out) {
    std::memset(out, 7, static_cast<std::size_t>(size));
    return size;
}
int sleep_for(sqlite3_vfs*, int microseconds) { return microseconds; }
int current_time(sqlite3_vfs*, double* out) {
    *out = 2'461'000.5;
    return SQLITE_OK;
}

}  // namespace

Disk::Disk(std::string name) : name_(std::move(name)), vfs_(std::make_unique<sqlite3_vfs>()) {
    *vfs_ = {};
    vfs_->iVersion = 1;
    vfs_->szOsFile = sizeof(OpenFile);
    vfs_->mxPathname = 512;
    vfs_->zName = name_.c_str();
    vfs_->pAppData = this;
    vfs_->xOpen = open_file;
    vfs_->xDelete = remove_file;
    vfs_->xAccess = access_file;
    vfs_->xFullPathname = full_path;
    vfs_->xRandomness = randomness;
    vfs_->xSleep = sleep_for;
    vfs_->xCurrentTime = current_time;
    if (sqlite3_vfs_register(vfs_.get(), 0) != SQLITE_OK) throw std::runtime_error("no disk " + name_);
}

Disk::~Disk() { sqlite3_vfs_unregister(vfs_.get()); }

Disk::File* Disk::open(const std::string& path, bool create) {
    auto& file = files_[path];
    if (file == nullptr && create) file = std::make_unique<File>();
    if (file != nullptr) return file.get();
    files_.erase(path);
    return nullptr;
}

bool Disk::operate() {
    if (operations_left_ != 0) --operations_left_;
    return operations_left_ != 0;
}

std::uint64_t Disk::size() const {
    std::uint64_t sum = 0;
    for (const auto& [path, file] : files_) sum += file->now.size();
    return sum;
}

bool Disk::fits(const File& file, std::uint64_t end) const {
    return end <= file.now.size() || size() + (end - file.now.size()) <= capacity_;
}

void Disk::power_on(std::mt19937& chance) {
    operations_left_ = ~std::uint64_t{0};
    const auto dice = [&](std::uint32_t sides) { return chance() % sides; };
    for (auto entry = files_.begin(); entry != files_.end();) {
        File& file = *entry->second;
        file.shared.clear();
        if (!file.exists_durably && dice(2) == 0) {
            entry = files_.erase(entry);
            continue;
        }
        std::ranges::shuffle(file.pending, chance);
        for (const File::Write& write : file.pending) {
            if (write.truncate) {
                if (dice(2) == 0) file.durable.resize(write.offset, '\0');
                continue;
            }
            for (std::uint64_t at = 0; at < write.bytes.size();) {
                const std::uint64_t end = std::min<std::uint64_t>(
                    write.bytes.size(), (write.offset + at) / kSector * kSector + kSector - write.offset);
                std::string sector = write.bytes.substr(at, end - at);
                const std::uint32_t fate = dice(8);
                if (fate == 0) {
                    for (char& byte : sector) byte = static_cast<char>(dice(256));
                }
                if (fate < 5) write_into(file.durable, write.offset + at, sector);
                at = end;
            }
        }
        file.now = file.durable;
        file.pending.clear();
        file.exists_durably = true;
        ++entry;
    }
}

}  // namespace lullwatt::tests
