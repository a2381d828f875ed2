/* COBS + CRC-16 frames to columns of doubles: the same frames and the same checks as the binary decoder,
   written plainly. usage: decode FILE PIECE_BYTES REPEATS; prints {"ns":per sample,"samples":of one pass,"sum":…} */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { MAX_BODY = 255, BLOCK = 1024, CHANNELS = 4, HEADER = 7, STRIDE = 8 };

static uint16_t table[256];
static uint8_t body[MAX_BODY];
static size_t length, seen;
static double t_us[BLOCK], length_us[BLOCK], columns[CHANNELS][BLOCK];
static const double steps_per_unit[CHANNELS] = {10, 100, 100, 1000};
static const double multiply[CHANNELS] = {1, 1, 1, 2};
static size_t at;
static long samples, bad;
static double sum;
static uint16_t tag;
static uint8_t last_counter;
static uint32_t last_us, each;
static double start_us;
static int announced, started;

static void build_table(void) {
  for (int byte = 0; byte < 256; byte++) {
    uint16_t crc = (uint16_t)(byte << 8);
    for (int bit = 0; bit < 8; bit++) crc = (uint16_t)(crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1);
    table[byte] = crc;
  }
}

static uint16_t crc16(const uint8_t *bytes, size_t n) {
  uint16_t crc = 0xffff;
  for (size_t i = 0; i < n; i++) crc = (uint16_t)((crc << 8) ^ table[(crc >> 8) ^ bytes[i]]);
  return crc;
}

static uint16_t u16(const uint8_t *p) { return (uint16_t)(p[0] | p[1] << 8); }
static uint32_t u32(const uint8_t *p) { return p[0] | p[1] << 8 | p[2] << 16 | (uint32_t)p[3] << 24; }

static void use_block(void) {
  for (size_t i = 0; i < at; i++) sum += columns[0][i];
  samples += (long)at;
  at = 0;
}

static void end_frame(void) {
  if (seen > MAX_BODY || length < 5) { bad++; return; }
  size_t end = length - 3;
  uint8_t b0 = body[end], b1 = body[end + 1], b2 = body[end + 2];
  if ((b0 & 0xfc) != 0x80 || !(b1 & 0x80) || !(b2 & 0x80)) { bad++; return; }
  uint16_t crc = (uint16_t)((b0 & 3) << 14 | (b1 & 0x7f) << 7 | (b2 & 0x7f));
  if (crc != crc16(body, end)) { bad++; return; }
  size_t code_at = body[0];
  while (code_at < end) {
    size_t code = body[code_at];
    body[code_at] = 0;
    code_at += code;
  }
  if (code_at != end) { bad++; return; }
  const uint8_t *content = body + 1;
  if (end < 1 + HEADER) { bad++; return; }
  uint16_t frame_tag = u16(content);
  if (frame_tag == 0) { tag = crc; each = u32(content + 8); announced = 1; return; }
  if (!announced || frame_tag != tag || (end - 1 - HEADER) % STRIDE) { bad++; return; }
  size_t count = (end - 1 - HEADER) / STRIDE;
  uint8_t counter = content[2];
  uint32_t us = u32(content + 3);
  if (count < 1) { bad++; return; }
  if (started && (uint8_t)(counter - last_counter) != 1) bad++;
  start_us = started ? start_us + (int32_t)(us - last_us) : us;
  started = 1;
  last_counter = counter;
  last_us = us;
  if (at + count > BLOCK) use_block();
  for (size_t k = 0; k < count; k++) {
    t_us[at + k] = start_us + k * (double)each;
    length_us[at + k] = each;
  }
  for (int c = 0; c < CHANNELS; c++) {
    const uint8_t *p = content + HEADER + 2 * c;
    for (size_t k = 0; k < count; k++, p += STRIDE) {
      int16_t raw = (int16_t)u16(p);
      if (raw == INT16_MIN) { bad++; continue; }
      columns[c][at + k] = raw * multiply[c] / steps_per_unit[c];
    }
  }
  at += count;
}

static void push(const uint8_t *bytes, size_t n) {
  for (size_t i = 0; i < n; i++) {
    uint8_t byte = bytes[i];
    if (byte != 0) {
      seen++;
      if (length < MAX_BODY) body[length++] = byte;
      continue;
    }
    if (seen > 0) end_frame();
    seen = length = 0;
  }
  use_block();
}

int main(int argc, char **argv) {
  if (argc != 4) return 2;
  FILE *file = fopen(argv[1], "rb");
  if (!file) return 3;
  fseek(file, 0, SEEK_END);
  size_t size = (size_t)ftell(file), piece = (size_t)atol(argv[2]);
  rewind(file);
  uint8_t *bytes = malloc(size);
  if (!bytes || fread(bytes, 1, size, file) != size) return 3;
  build_table();
  int repeats = atoi(argv[3]);
  double best = 1e30;
  long passed = 0;
  for (int repeat = 0; repeat < repeats; repeat++) {
    struct timespec from, to;
    samples = 0;
    sum = 0;
    started = announced = 0;
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (size_t i = 0; i < size; i += piece) push(bytes + i, size - i < piece ? size - i : piece);
    clock_gettime(CLOCK_MONOTONIC, &to);
    double ns = ((to.tv_sec - from.tv_sec) * 1e9 + (to.tv_nsec - from.tv_nsec)) / (double)samples;
    if (ns < best) best = ns;
    passed = samples;
  }
  printf("{\"ns\":%.4f,\"samples\":%ld,\"sum\":%.3f,\"bad\":%ld}\n", best, passed, sum, bad);
  return 0;
}
