/** docs/serial.md says what the code does: tables, example frames, TOML, the C programs. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'smol-toml';
import { describe, expect, it } from 'vitest';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { ANNOUNCEMENT, CHANNEL, DATA, MAX_CONTENT } from '#core/frame/binary-layout';
import { CHANNEL_CODES } from '#core/frame/channel-codes';
import { defaultDeviceChannels } from '#core/frame/device-announcement';
import { newFrameCounters } from '#core/frame/frame-counters';
import type { DecoderOutput } from '#core/frame/frame-decoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { CHANNEL_NAMES, CHANNELS } from '#core/sample/channels';
import { isUnit } from '#core/units/ucum';
import {
  FIRST_RETRY_US,
  LEAST_STALL_US,
  LONGEST_RETRY_US,
  REOPEN_US,
} from '../../../edge/source/link-machine.ts';
import { sourceSettingsSchema } from '../../../edge/source/source-settings.ts';
import { isMissing } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { ascii, rowsOf } from '../frame/frame-support.ts';

const DOCUMENT = readFileSync(join(import.meta.dirname, '../../../docs/serial.md'), 'utf8');

function blocks(language: string): string[] {
  return [...DOCUMENT.matchAll(new RegExp(`^\`\`\`${language}\\n(.*?)^\`\`\``, 'gms'))].map(
    match => match[1]!,
  );
}

/** Cells of the table that follows `heading` (some text before it). */
function table(heading: string): string[][] {
  const from = DOCUMENT.indexOf(heading);
  expect(from, heading).toBeGreaterThan(-1);
  const lines = DOCUMENT.slice(from).split('\n');
  const first = lines.findIndex(line => line.startsWith('|'));
  const rest = lines.slice(first);
  const end = rest.findIndex(line => !line.startsWith('|'));
  return rest.slice(2, end).map(line =>
    line
      .slice(1, -1)
      .split('|')
      .map(cell => cell.trim()),
  );
}

const offsets = (rows: string[][]): Record<string, number> =>
  Object.fromEntries(rows.map(([offset, , field]) => [field!, Number(offset)]));

describe('docs/serial.md', () => {
  it('lists every channel with its letter, unit and resolution', () => {
    const rows = table('| letter | channel |');
    expect(
      rows.map(([letter, channel, unit, resolution]) => [letter, channel, unit, Number(resolution)]),
    ).toEqual(
      CHANNEL_NAMES.map(name => [
        `\`${CHANNEL_CODES[name]}\``,
        name,
        CHANNELS[name].unit,
        CHANNELS[name].resolution,
      ]),
    );
  });

  it('names units the edge knows', () => {
    const line = DOCUMENT.split('\n').find(text => text.startsWith('Units are UCUM codes:'))!;
    const units = [...line.matchAll(/`([^`]+)`/g)].map(match => match[1]!);
    expect(units.length).toBeGreaterThan(10);
    for (const unit of units) expect(isUnit(unit), unit).toBe(true);
  });

  it('gives the offsets of the code', () => {
    expect(offsets(table('Content of an announcement:'))).toEqual(ANNOUNCEMENT);
    expect(offsets(table('Each announced channel, offsets'))).toEqual(CHANNEL);
    expect(offsets(table('Content of a data frame:'))).toEqual(DATA);
    expect(DOCUMENT).toContain(`at most\n${MAX_CONTENT} bytes`);
    const stride = defaultDeviceChannels(['travelDistance']).reduce((sum, { width }) => sum + width, 4 * 2);
    expect(Math.floor((MAX_CONTENT - DATA.samples) / stride)).toBe(20);
  });

  it('shows text frames that mean what it says', () => {
    const [frames] = blocks('text-frames');
    const decoder = new TextFrameDecoder();
    const outputs = decoder.push(ascii(frames!), 0);
    expect(outputs[0]).toMatchObject({
      kind: 'announce',
      announcement: { boot: 57, samplePeriodUs: 10_000, simulated: false },
    });
    // 10.27 m/min = 10270 ÷ 60 = 171.17 mm/s.
    expect(
      rowsOf(outputs, ['weldingCurrent', 'arcVoltage', 'power', 'wireFeedSpeed', 'travelDistance']),
    ).toEqual([
      [40_960_000, 10_000, 236, 24.01, 5664, 171.17, 307.2],
      [40_970_000, 10_000, 235.8, null, 5660, 171.17, 307.28],
    ]);
    expect(decoder.counters).toMatchObject({ discardedBytes: 0, frames: 3 });
  });

  it('shows binary frames that mean what it says', () => {
    const [frames] = blocks('binary-frames');
    const bytes = Uint8Array.from(frames!.trim().split(/\s+/), hex => Number.parseInt(hex, 16));
    const decoder = new BinaryDecoder();
    const outputs = decoder.push(bytes, 0);
    expect(outputs[0]).toMatchObject({
      kind: 'announce',
      announcement: { boot: 57, samplePeriodUs: 1000, simulated: false },
    });
    expect(rowsOf(outputs, ['weldingCurrent', 'arcVoltage', 'travelDistance'])).toEqual([
      [40_960_000, 1000, 236, 24, 307.2],
      [40_961_000, 1000, null, 24.05, 307.21],
    ]);
    expect(decoder.counters).toMatchObject({ discardedBytes: 0, frames: 2 });
  });

  it('names every count', () => {
    const names = table('| name | meaning |').map(([name]) => name!);
    expect(names).toEqual(expect.arrayContaining(Object.keys(newFrameCounters())));
    expect(names.toSorted()).toEqual(
      [...Object.keys(newFrameCounters()), 'reanchored', 'ranAhead', 'receivedBytes', 'openings'].toSorted(),
    );
  });

  it('gives the times of the code', () => {
    const text = JSON.stringify(table('## The life of a link'));
    for (const time of [
      `${LEAST_STALL_US / 1e3} ms`,
      `${FIRST_RETRY_US / 1e3} ms`,
      `${LONGEST_RETRY_US / 1e6} s`,
      `${REOPEN_US / 1e6} s`,
    ]) {
      expect(text).toContain(time);
    }
  });

  it('shows TOML that the edge takes', () => {
    const examples = blocks('toml');
    expect(examples).toHaveLength(3);
    for (const example of examples) {
      const result = sourceSettingsSchema.safeParse(parse(example)['source']);
      expect(result.error?.issues).toBeUndefined();
    }
    for (const [, url] of DOCUMENT.matchAll(/`url = "([^"]+)"`/g)) {
      const modbus = { register: [{ channel: 'program', address: 0 }] };
      expect(sourceSettingsSchema.safeParse({ url, modbus }).error?.issues).toBeUndefined();
    }
  });
});

describe.skipIf(isMissing('cc', 'apt-get install gcc'))('the C programs of docs/serial.md', () => {
  /** Compiles `source` with warnings as errors, runs it and returns what it sends. */
  function runC(source: string): Uint8Array {
    const dir = tempDir();
    writeFileSync(join(dir, 'device.c'), source);
    execFileSync('cc', ['-std=c11', '-Wall', '-Wextra', '-Werror', '-o', 'device', 'device.c'], { cwd: dir });
    return execFileSync(join(dir, 'device'));
  }
  const [textProgram, sender] = blocks('c');
  const all = (outputs: readonly DecoderOutput[]): string[] => outputs.map(({ kind }) => kind);

  it('the text program is read without a discard, over the wrap of its time', () => {
    const printed = runC(`${textProgram}
#include <stdlib.h>
static uint32_t now = 4294000000UL;
static int frames = 0;
uint32_t micros32(void) { return now; }
void line_send(const char *text, size_t n) { fwrite(text, 1, n, stdout); }
uint32_t next_start_number(void) { return 4000000000UL; }
void average_for(uint32_t interval_us, struct reading *out) {
  if (frames == 250) exit(0);
  *out = (struct reading){-5 + frames, 2400, 5600, 1027, frames * 8, frames % 10 != 0};
  frames++;
  now += interval_us;
}
int main(void) { run(); }
`);
    const decoder = new TextFrameDecoder();
    const outputs = decoder.push(printed, 0);
    const rows = rowsOf(outputs, ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelDistance']);
    expect(rows).toHaveLength(250);
    for (const [k, row] of rows.entries()) {
      const voltage = k % 10 === 0 ? null : 24;
      const current = Math.round(k - 5) / 10;
      expect(row).toEqual([
        4_294_000_000 + k * 10_000,
        10_000,
        current,
        voltage,
        171.17,
        Math.round(k * 8) / 100,
      ]);
    }
    expect(decoder.counters).toMatchObject({ discardedBytes: 0, lostFrames: 0, announcements: 3 });
    expect(all(outputs)).toEqual(['announce', 'samples']);
  });

  it('the binary sender gives the example of the document', () => {
    const [frames] = blocks('binary-frames');
    const sent = runC(`#include <stdio.h>
#include <string.h>
${sender}
void line_send_bytes(const uint8_t *bytes, size_t n) { fwrite(bytes, 1, n, stdout); }
int main(void) {
  static const uint8_t announcement[] = {0, 0, 1, 0, 57, 0, 0, 0, 0xE8, 3, 0, 0, 3,
    'I', 2, 1, 0, 0xFF, 1, 'A', 'U', 2, 1, 0, 0xFE, 1, 'V', 'S', 4, 1, 0, 0xFE, 2, 'm', 'm'};
  const uint16_t tag = send_frame(announcement, sizeof announcement);
  uint8_t data[7 + 16] = {tag & 0xFF, tag >> 8, 183};
  const uint32_t t = 40960000;
  memcpy(data + 3, &t, 4);
  const int16_t a[2] = {2360, 2400}, b[2] = {INT16_MIN, 2405};
  const int32_t d[2] = {30720, 30721};
  memcpy(data + 7, a, 4);
  memcpy(data + 11, d, 4);
  memcpy(data + 15, b, 4);
  memcpy(data + 19, d + 1, 4);
  send_frame(data, sizeof data);
}
`);
    const hex = [...sent].map(byte => byte.toString(16).toUpperCase().padStart(2, '0')).join(' ');
    expect(hex).toBe(frames!.trim().replaceAll('\n', ' '));
  });
});
