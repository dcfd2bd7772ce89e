/* Loaded into a program before its C library (LD_PRELOAD), this writes down in order what the program asks of the files in one
 * folder: what is created, written, cut, flushed and removed. tests/attempts/logbook_power.rs builds from that what may lie on
 * a disk whose power goes at any moment. The folder is DISK_LOG_FOLDER, the log DISK_LOG_FILE.
 *
 * A record: operation (1 byte), length of the path (4 bytes), path, offset (8), length of the data (8), data; host order. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <unistd.h>

#define MOST 1024

static char *paths[MOST]; /* of each open file in the folder */

static void put(int out, const void *data, size_t length) {
    const char *at = data;
    while (length > 0) {
        long done = syscall(SYS_write, out, at, length);
        if (done <= 0) abort();
        at += done;
        length -= (size_t)done;
    }
}

static void note(char what, const char *path, uint64_t offset, const void *data, uint64_t length) {
    static int out = -1;
    if (out < 0) {
        out = (int)syscall(SYS_openat, AT_FDCWD, getenv("DISK_LOG_FILE"), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
        if (out < 0) abort();
    }
    uint32_t named = (uint32_t)strlen(path);
    put(out, &what, 1);
    put(out, &named, 4);
    put(out, path, named);
    put(out, &offset, 8);
    put(out, &length, 8);
    put(out, data, length);
}

static int inside(const char *path) {
    const char *folder = getenv("DISK_LOG_FOLDER");
    size_t length = folder ? strlen(folder) : 0;
    return folder && getenv("DISK_LOG_FILE") && strncmp(path, folder, length) == 0 && (path[length] == '/' || path[length] == 0);
}

static const char *path_of(int file) { return file >= 0 && file < MOST ? paths[file] : NULL; }

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

static int opened(int file, const char *path, int made) {
    if (file >= 0 && file < MOST) {
        free(paths[file]);
        paths[file] = inside(path) ? strdup(path) : NULL;
        if (made && paths[file]) note('c', path, 0, "", 0);
    }
    return file;
}

#define OPEN(name)                                                    \
    int name(const char *path, int flags, ...) {                      \
        va_list rest;                                                 \
        va_start(rest, flags);                                        \
        mode_t mode = flags & O_CREAT ? va_arg(rest, mode_t) : 0;     \
        va_end(rest);                                                 \
        int made = (flags & O_CREAT) && access(path, F_OK) != 0;      \
        return opened(REAL(name)(path, flags, mode), path, made);     \
    }
OPEN(open)
OPEN(open64)

int close(int file) {
    if (path_of(file)) {
        free(paths[file]);
        paths[file] = NULL;
    }
    return REAL(close)(file);
}

ssize_t write(int file, const void *data, size_t length) {
    off_t at = path_of(file) ? lseek(file, 0, SEEK_CUR) : 0;
    if (path_of(file) && (fcntl(file, F_GETFL) & O_APPEND)) at = lseek(file, 0, SEEK_END);
    ssize_t done = REAL(write)(file, data, length);
    if (done > 0 && path_of(file)) note('w', path_of(file), (uint64_t)at, data, (uint64_t)done);
    return done;
}

#define PWRITE(name, offset)                                                                          \
    ssize_t name(int file, const void *data, size_t length, offset at) {                              \
        ssize_t done = REAL(name)(file, data, length, at);                                            \
        if (done > 0 && path_of(file)) note('w', path_of(file), (uint64_t)at, data, (uint64_t)done);  \
        return done;                                                                                  \
    }
PWRITE(pwrite, off_t)
PWRITE(pwrite64, off64_t)

#define CUT(name, offset)                                                       \
    int name(int file, offset length) {                                         \
        int failed = REAL(name)(file, length);                                  \
        if (!failed && path_of(file)) note('t', path_of(file), (uint64_t)length, "", 0); \
        return failed;                                                          \
    }
CUT(ftruncate, off_t)
CUT(ftruncate64, off64_t)

#define FLUSH(name)                                                   \
    int name(int file) {                                              \
        int failed = REAL(name)(file);                                \
        if (!failed && path_of(file)) note('f', path_of(file), 0, "", 0); \
        return failed;                                                \
    }
FLUSH(fsync)
FLUSH(fdatasync)

int unlink(const char *path) {
    int failed = REAL(unlink)(path);
    if (!failed && inside(path)) note('u', path, 0, "", 0);
    return failed;
}
