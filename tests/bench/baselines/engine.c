/* The pass engine's arithmetic for four channels, written plainly: intervals, gaps, repeated readings, arcs with
   hysteresis and dwell, 50 ms slices, compensated sums, windows of 25 mm of weld, a sliding second.
   usage: engine FILE RATE_HZ CHUNK REPEATS; FILE is five columns of n doubles: time µs, A, V, mm/s wire, mm/s travel.
   Prints {"ns":per sample,"arcTimeS":…,"energyKj":…,"runOutMm":…,"wireMm":…,"windows":…} */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { OBSERVED, MISSING, CURRENT, VOLTAGE, PRODUCT, WIRE, WIRE_KNOWN, TRAVEL, TRAVEL_KNOWN, SUMS };
enum phase { IDLE, TRIAL, BURNING, DROP_OUT };
enum { RING = 64, WAITING = 4096 };

typedef struct { double t, current, voltage, feed, travel; } sample;
typedef struct { double total[SUMS], lost[SUMS]; } compensated;

static double gap_us, length_us;
static sample waiting[WAITING];
static int waiting_count, held;
static enum phase phase, slice_phase;
static double trial_from, drop_from, slice_index, slice_to;
static int slice_motion;
static double slice[SUMS], undecided[SUMS], window[SUMS];
static double window_mm, ring[RING][SUMS], ring_to[RING];
static int ring_first, ring_count;
static compensated arc, drop_out, standing;
static long windows;
static double repeated_s;

static void add(compensated *into, const double *more) {
  for (int i = 0; i < SUMS; i++) {
    double before = into->total[i], value = more[i], after = before + value;
    into->lost[i] += fabs(before) >= fabs(value) ? before - after + value : value - after + before;
    into->total[i] = after;
  }
}

static void slide(double to, const double *sums) {
  while (ring_count > 0 && ring_to[ring_first] <= to - 1e6) {
    ring_first = (ring_first + 1) % RING;
    ring_count--;
  }
  int at = (ring_first + ring_count++) % RING;
  ring_to[at] = to;
  memcpy(ring[at], sums, sizeof ring[at]);
}

static void burn(const double *sums, int motion) {
  add(&arc, sums);
  if (motion == 0) add(&standing, sums);
  if (motion != 1) return;
  for (int i = 0; i < SUMS; i++) window[i] += sums[i];
  window_mm += sums[TRAVEL];
  if (window_mm >= 25) {
    windows++;
    window_mm = 0;
    memset(window, 0, sizeof window);
  }
}

static void flush(void) {
  if (slice[OBSERVED] > 0 || slice[MISSING] > 0) {
    slide(slice_to, slice);
    if (slice_phase == BURNING) burn(slice, slice_motion);
    else if (slice_phase != IDLE)
      for (int i = 0; i < SUMS; i++) undecided[i] += slice[i];
  }
  memset(slice, 0, sizeof slice);
  slice_index = -1;
}

static void forget(void) { memset(undecided, 0, sizeof undecided); }

static void step(double t, double amps, double feed) {
  switch (phase) {
    case IDLE:
      if (amps >= 30 && !(feed <= 0)) { flush(); phase = TRIAL; trial_from = t; }
      break;
    case TRIAL:
      if (!(amps >= 30) || feed <= 0) { flush(); forget(); phase = IDLE; }
      else if (t - trial_from >= 0.2e6) { flush(); burn(undecided, 1); forget(); phase = BURNING; }
      break;
    case BURNING:
      if (amps < 15) { flush(); phase = DROP_OUT; drop_from = t; }
      break;
    case DROP_OUT:
      if (amps >= 15) {
        flush();
        add(&drop_out, undecided);
        window_mm += undecided[TRAVEL];
        forget();
        phase = BURNING;
      } else if (t - drop_from >= 0.5e6) { flush(); forget(); phase = IDLE; }
      break;
  }
}

static void track(const sample *s, double next, int gap) {
  double span = next - s->t, observed = fmin(length_us, span);
  step(s->t, s->current, s->feed);
  int motion = s->travel >= 0.5 ? 1 : s->travel < 0.5 ? 0 : 2;
  double index = floor(s->t / 50000);
  if (index != slice_index || motion != slice_motion || slice_phase != phase) {
    flush();
    slice_index = index;
    slice_phase = phase;
    slice_motion = motion;
  }
  double seconds = observed / 1e6;
  slice_to = gap ? s->t + observed : next;
  slice[OBSERVED] += seconds;
  if (!gap) slice[MISSING] += (span - observed) / 1e6;
  slice[CURRENT] += s->current * seconds;
  slice[VOLTAGE] += s->voltage * seconds;
  slice[PRODUCT] += s->current * s->voltage * seconds;
  if (!isnan(s->feed)) { slice[WIRE] += s->feed * seconds; slice[WIRE_KNOWN] += seconds; }
  if (!isnan(s->travel)) { slice[TRAVEL] += s->travel * seconds; slice[TRAVEL_KNOWN] += seconds; }
  if (gap && phase == TRIAL) { flush(); forget(); phase = IDLE; }
}

static void take(sample s) {
  if (isnan(s.current) || isnan(s.voltage)) return;
  if (waiting_count > 0) {
    const sample *last = &waiting[waiting_count - 1];
    int gap = s.t - last->t > gap_us;
    if (s.current >= 15 && !gap && s.current == last->current && s.voltage == last->voltage) {
      if (held || s.t - waiting[0].t >= 1e6) { held = 1; repeated_s += (s.t - last->t) / 1e6; waiting_count = 0; }
    } else {
      if (!held) {
        for (int i = 0; i + 1 < waiting_count; i++) track(&waiting[i], waiting[i + 1].t, 0);
        track(last, s.t, gap);
      }
      held = 0;
      waiting_count = 0;
    }
  }
  waiting[waiting_count++] = s;
}

static void finish(void) {
  if (waiting_count > 0) track(&waiting[waiting_count - 1], waiting[waiting_count - 1].t + length_us, 0);
  flush();
}

static double result(const compensated *sums, int i) { return sums->total[i] + sums->lost[i]; }

int main(int argc, char **argv) {
  if (argc != 5) return 2;
  FILE *file = fopen(argv[1], "rb");
  if (!file) return 3;
  fseek(file, 0, SEEK_END);
  size_t size = (size_t)ftell(file), n = size / (5 * sizeof(double));
  rewind(file);
  double *column = malloc(size);
  if (!column || fread(column, 1, size, file) != size) return 3;
  const double *t = column, *current = t + n, *voltage = current + n, *feed = voltage + n, *travel = feed + n;
  length_us = 1e6 / atof(argv[2]);
  gap_us = fmax(0.25e6, 5 * length_us);
  size_t chunk = (size_t)atol(argv[3]);
  double best = 1e30;
  for (int repeat = 0; repeat < atoi(argv[4]); repeat++) {
    struct timespec from, to;
    memset(&arc, 0, sizeof arc);
    memset(&drop_out, 0, sizeof drop_out);
    memset(&standing, 0, sizeof standing);
    memset(window, 0, sizeof window);
    window_mm = waiting_count = held = ring_count = 0;
    windows = 0;
    phase = slice_phase = IDLE;
    slice_index = -1;
    forget();
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (size_t at = 0; at < n; at += chunk) {
      size_t end = at + chunk < n ? at + chunk : n;
      for (size_t i = at; i < end; i++) take((sample){t[i], current[i], voltage[i], feed[i], travel[i]});
    }
    finish();
    clock_gettime(CLOCK_MONOTONIC, &to);
    double ns = ((to.tv_sec - from.tv_sec) * 1e9 + (to.tv_nsec - from.tv_nsec)) / (double)n;
    if (ns < best) best = ns;
  }
  printf("{\"ns\":%.4f,\"arcTimeS\":%.9f,\"energyKj\":%.9f,\"runOutMm\":%.9f,\"wireMm\":%.9f,\"windows\":%ld}\n", best,
         result(&arc, OBSERVED), result(&arc, PRODUCT) / 1000, result(&arc, TRAVEL) + result(&drop_out, TRAVEL),
         result(&arc, WIRE) + result(&drop_out, WIRE), windows);
  return 0;
}
