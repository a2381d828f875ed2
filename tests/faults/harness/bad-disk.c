/*
 * LD_PRELOAD: a storage that is slow, stalls, is full or fails, for files whose path contains BAD_DISK_PATH.
 * A fault is on while the file named by BAD_DISK_SWITCH exists. What it does, from the environment:
 *   BAD_DISK_SYNC_MS      every sync takes at least this long
 *   BAD_DISK_STALL_MS     every BAD_DISK_STALL_EVERY-th sync takes this long instead
 *   BAD_DISK_SYNC_EIO     1: a sync fails with EIO
 *   BAD_DISK_WRITE_EIO    1: a write fails with EIO
 *   BAD_DISK_WRITE_ENOSPC 1: a write fails with ENOSPC, as on a full disk
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <time.h>
#include <unistd.h>

static long number(const char *name) {
  const char *text = getenv(name);
  return text ? atol(text) : 0;
}

static int applies(int fd) {
  const char *path = getenv("BAD_DISK_PATH"), *on = getenv("BAD_DISK_SWITCH");
  char link[64], target[4096];
  if (!path || !on || access(on, F_OK) != 0) return 0;
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t length = readlink(link, target, sizeof target - 1);
  if (length <= 0) return 0;
  target[length] = 0;
  return strstr(target, path) != NULL;
}

static void rest(long ms) {
  struct timespec time = {ms / 1000, (ms % 1000) * 1000000L};
  while (nanosleep(&time, &time) != 0 && errno == EINTR) {
  }
}

static int before_sync(int fd) {
  static long syncs = 0;
  if (!applies(fd)) return 0;
  long every = number("BAD_DISK_STALL_EVERY");
  syncs++;
  if (every > 0 && syncs % every == 0) rest(number("BAD_DISK_STALL_MS"));
  else rest(number("BAD_DISK_SYNC_MS"));
  if (!number("BAD_DISK_SYNC_EIO")) return 0;
  errno = EIO;
  return -1;
}

static int before_write(int fd) {
  int full = number("BAD_DISK_WRITE_ENOSPC") != 0, broken = number("BAD_DISK_WRITE_EIO") != 0;
  if ((!full && !broken) || !applies(fd)) return 0;
  errno = full ? ENOSPC : EIO;
  return -1;
}

int fsync(int fd) {
  static int (*real)(int);
  if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
  return before_sync(fd) ? -1 : real(fd);
}

int fdatasync(int fd) {
  static int (*real)(int);
  if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
  return before_sync(fd) ? -1 : real(fd);
}

ssize_t pwrite64(int fd, const void *bytes, size_t count, off64_t offset) {
  static ssize_t (*real)(int, const void *, size_t, off64_t);
  if (!real) real = (ssize_t (*)(int, const void *, size_t, off64_t))dlsym(RTLD_NEXT, "pwrite64");
  return before_write(fd) ? -1 : real(fd, bytes, count, offset);
}

ssize_t pwrite(int fd, const void *bytes, size_t count, off_t offset) {
  return pwrite64(fd, bytes, count, offset);
}

ssize_t write(int fd, const void *bytes, size_t count) {
  static ssize_t (*real)(int, const void *, size_t);
  if (!real) real = (ssize_t (*)(int, const void *, size_t))dlsym(RTLD_NEXT, "write");
  return before_write(fd) ? -1 : real(fd, bytes, count);
}
