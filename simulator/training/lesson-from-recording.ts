import { readFile, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { stringify } from 'smol-toml';
import { z } from 'zod';
import { DelimitedDecoder } from '#core/frame/delimited-decoder';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import type { Side } from '#core/messages/common';
import { whyNotRead } from '#core/program/why-not-read';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import { EXAMPLE_PASSES } from '../scenario/example-passes.ts';
import { ScenarioError } from '../scenario/load-scenario.ts';
import { parseLesson } from './load-lesson.ts';
import { type RecordedSamples, recordedOf, samplesText } from './recorded-samples.ts';

export interface FromRecording {
  readonly recording: string;
  /** The map of `girthlog-edge replay`; exports carry one. */
  readonly map: string;
  readonly folder: string;
  readonly id: string;
  readonly title: string;
  readonly side: Side;
  readonly pass: string;
}

/** Keys of a replay map that say what was welded or how to judge it: nothing of that goes into a lesson. */
const NOT_READINGS = ['sampleLength', 'samplePeriod', 'pass', 'heldAfterS', 'uncertainty', 'assignment'];
const restSchema = z.object({
  referenceRadiusMm: z.number().positive().optional(),
  assignment: z.object({ outsideDiameterMm: z.number().positive() }).optional(),
  time: z.looseObject({}).optional(),
});

/**
 * Writes a lesson (TOML) and its samples (CSV) from a recording: readings and the time between them, no joint, no date,
 * no person. Windows are the trainer's to enter. Resolves with both paths. Throws ScenarioError.
 */
export async function lessonFromRecording(asked: FromRecording): Promise<readonly string[]> {
  const example = EXAMPLE_PASSES.find(({ name }) => name === asked.pass);
  if (!example) {
    const names = EXAMPLE_PASSES.map(({ name }) => name).join(', ');
    throw new ScenarioError(`pass "${asked.pass}" is none of the example procedure: ${names}`);
  }
  const { chunk, outsideDiameterMm, referenceRadiusMm } = await readWithMap(asked.recording, asked.map);
  const recorded = recordedOf(chunk);
  const csv = `${asked.id}.csv`;
  const text = lessonText(asked, recorded, csv, outsideDiameterMm, referenceRadiusMm);
  const toml = join(asked.folder, `${asked.id}.toml`);
  // Nothing is written that could not be read again.
  parseLesson(text, toml);
  const samples = join(asked.folder, csv);
  await writeNew(samples, samplesText(recorded));
  await writeNew(toml, text);
  return [toml, samples];
}

async function readWithMap(file: string, mapFile: string) {
  const read = (path: string) =>
    readFile(path).catch((error: Error) => {
      throw new ScenarioError(`${path}: cannot be read: ${whyNotRead(error)}`);
    });
  let json: Record<string, unknown>;
  try {
    json = z.record(z.string(), z.unknown()).parse(JSON.parse((await read(mapFile)).toString('utf8')));
  } catch (error) {
    if (error instanceof ScenarioError) throw error;
    throw new ScenarioError(`${mapFile}: not a map in JSON`);
  }
  const rest = restSchema.safeParse(json);
  const { referenceRadiusMm, time: timeOf, ...others } = json;
  const { recordStartUs: _date, ...time } = (timeOf ?? {}) as Record<string, unknown>;
  const columns = Object.fromEntries(Object.entries(others).filter(([key]) => !NOT_READINGS.includes(key)));
  const map = delimitedMapSchema.safeParse({ ...columns, ...(timeOf === undefined ? {} : { time }) });
  if (!map.success || !rest.success) {
    const issue = (map.error ?? rest.error)!.issues[0]!;
    throw new ScenarioError(`${mapFile}: ${issue.path.join('.') || 'the map'}: ${issue.message}`);
  }
  if (map.data.time === undefined) throw new ScenarioError(`${mapFile}: time is missing`);
  const bytes = await read(file);
  const decoder = new DelimitedDecoder(map.data, true);
  const start = bytes.subarray(0, 3).equals(Buffer.from([0xef, 0xbb, 0xbf])) ? 3 : 0;
  const outputs = [...decoder.push(bytes.subarray(start), 0), ...decoder.finish()];
  const chunks = outputs.flatMap((output): SampleChunk[] =>
    output.kind === 'samples' ? [output.chunk] : [],
  );
  if (chunks.length === 0)
    throw new ScenarioError(`${basename(file)}: no usable row; do the map and the file fit?`);
  return {
    chunk: concatChunks(chunks),
    outsideDiameterMm: rest.data.assignment?.outsideDiameterMm ?? null,
    referenceRadiusMm: rest.data.referenceRadiusMm ?? null,
  };
}

function lessonText(
  { id, title, side, pass }: FromRecording,
  { samples }: RecordedSamples,
  file: string,
  outsideDiameterMm: number | null,
  referenceRadiusMm: number | null,
): string {
  const last = samples.at(-1)!;
  const seconds = (last.tUs + last.lengthUs) / 1e6 + 10;
  const rig = `rig-${side.toLowerCase()}`;
  const lesson = {
    schema: 'girthlog.lesson/1',
    id,
    title,
    objectives: ['Say what the trainer has entered as windows here.'],
    minutes: Math.max(0.1, Math.round(seconds / 6) / 10),
    weld: [pass],
    joints: { prefix: 'R-', first: 1, count: 1 },
    pipe: {
      ...(outsideDiameterMm === null ? {} : { outside_diameter_mm: outsideDiameterMm }),
      ...(referenceRadiusMm === null ? {} : { reference_radius_mm: referenceRadiusMm }),
    },
    schedule: { stagger_mm: 0 },
    rig: [{ id: rig, side }],
    recording: [{ rig, pass, file }],
  };
  return `${stringify(lesson)}
# Windows are yours to enter: what was wrong (signal) or only looked so (decoy), in mm from where the recording begins.
# [[window]]
# id = "first"
# kind = "signal"
# fault = "stickOutGrowth"
# rig = "${rig}"
# pass = "${pass}"
# from_mm = 200
# to_mm = 400
# channels = ["weldingCurrent"]
# actions = ["call"]
`;
}

async function writeNew(path: string, text: string): Promise<void> {
  await writeFile(path, text, { flag: 'wx' }).catch((error: NodeJS.ErrnoException) => {
    throw new ScenarioError(`${path}: ${error.code === 'EEXIST' ? 'stands there already' : error.message}`);
  });
}
