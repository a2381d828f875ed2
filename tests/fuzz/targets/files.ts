/** Files people bring: recordings, maps, procedures, lessons, configurations, records, backups, tables, black boxes. */
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import Sqlite from 'better-sqlite3';
import { z } from 'zod';
import { readIndicationTable } from '#core/indication/indication-table';
import { procedureSchema } from '#core/procedure/procedure';
import { ProgramError } from '#core/program/program-error';
import { csvRows } from '../../../dashboard/server/api/csv-rows.ts';
import { restoreBackup } from '../../../dashboard/server/backup/restore-backup.ts';
import { writeBackup } from '../../../dashboard/server/backup/write-backup.ts';
import { loadConfig as loadDashboardConfig } from '../../../dashboard/server/load-config.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { verifyFile } from '../../../dashboard/server/verify/verify-file.ts';
import { encodeFrame, encodeHeader } from '../../../edge/black-box/black-box-format.ts';
import { readFrames } from '../../../edge/black-box/black-box-reader.ts';
import { loadConfig as loadEdgeConfig } from '../../../edge/config/load-config.ts';
import { columnMapSchema } from '../../../edge/replay/column-map.ts';
import { readRecording } from '../../../edge/replay/recording-reader.ts';
import { replayRecording } from '../../../edge/replay/replay.ts';
import { ReplayError } from '../../../edge/replay/replay-error.ts';
import { modbusMapSchema } from '../../../edge/source/modbus-map.ts';
import { parseScenario, ScenarioError } from '../../../simulator/scenario/load-scenario.ts';
import { parseLesson } from '../../../simulator/training/load-lesson.ts';
import { EXAMPLE_PROCEDURE, STREAM, testChain } from '../../support/test-records.ts';
import type { Dice } from '../dice.ts';
import { type JsonSchema, SchemaValues } from '../from-schema.ts';
import { mutateBytes, mutateJson, mutateText } from '../mutate.ts';
import type { FuzzTarget } from '../target.ts';

/** A refusal is one sentence on one line: no stack, and short enough to be read. */
function sentence(error: Error): string {
  if (/\n\s+at /.test(error.message)) throw new Error(`a stack in front of people: ${error.message}`);
  if (error.message.length > 2000)
    throw new Error(`${error.message.length} letters are no sentence: ${error.message.slice(0, 300)}`);
  return 'exitCode' in error ? `refused with exit ${error.exitCode}` : 'refused';
}

const isRefusal = (error: unknown): error is Error =>
  error instanceof ProgramError || error instanceof ReplayError || error instanceof ScenarioError;

/** `read` takes the file; whatever it throws that is not a refusal is a finding. */
async function tried(read: () => unknown): Promise<string> {
  try {
    await read();
    return 'taken';
  } catch (error) {
    if (isRefusal(error)) return sentence(error);
    throw error;
  }
}

const MAP = {
  header: true,
  time: { column: 'time', unit: 's' },
  weldingCurrent: { column: 'A', unit: 'A' },
  arcVoltage: { column: 'V', unit: 'V' },
  travelSpeed: { constant: 8, unit: '[in_i]/min' },
};

function recordingText(): string {
  const rows = Array.from({ length: 80 }, (_, i) => {
    const on = i > 5 && i < 70;
    return `${(i / 10).toFixed(1)},${on ? 230 + (i % 5) : 0},${on ? 24 + (i % 3) / 10 : 0}`;
  });
  return `time,A,V\n${rows.join('\n')}\n`;
}

/** Whatever was read, what is answered is finite and within what was recorded. */
function requireSound(value: unknown, name = 'the answer'): void {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${name} is ${value}`);
  if (typeof value === 'object' && value !== null)
    for (const [key, one] of Object.entries(value)) requireSound(one, `${name}.${key}`);
}

const recordings: FuzzTarget = {
  name: 'recordings and maps, replayed',
  cases: 'files',
  wholeRun: 20_000,
  open: async scratch => {
    const good = recordingText();
    const file = join(scratch, 'recording.csv');
    const replay = async (mapValue: unknown): Promise<string> => {
      const map = columnMapSchema.safeParse(mapValue);
      if (!map.success) return 'map refused';
      return tried(async () => {
        const recording = await readRecording(file, map.data);
        const document = replayRecording({ file, recording, procedure: null, passName: null });
        requireSound(document);
        for (const { arcTimeS, elapsedS } of document.passes) {
          if (arcTimeS > elapsedS + 1e-6) throw new Error(`arc time ${arcTimeS} s of ${elapsedS} s`);
        }
      });
    };
    return {
      tryOne: dice => {
        writeFileSync(file, dice.chance(0.8) ? mutateText(dice, good, 60_000) : good);
        return replay(dice.chance(0.3) ? mutateJson(dice, MAP) : MAP);
      },
      stillWorks: async () => {
        writeFileSync(file, good);
        if ((await replay(MAP)) !== 'taken') throw new Error('a good recording is refused');
      },
      close: () => {},
    };
  },
};

interface TextReader {
  readonly good: string;
  /** The file, which holds what `text` says. */
  readonly read: (file: string, text: string) => unknown;
}

const DASHBOARD_TOML = 'data = "d"\nhttp = "127.0.0.1:8080"\nmax_rigs = 16\nhost_names = ["truck.local"]\n';
const EDGE_TOML = `[rig]
site = "spread-1"
rig = "rig-a"
origin = "real"
reference_radius_mm = 325

[source]
url = "serial:///dev/serial/by-id/usb-example?baud=115200"
`;
const TABLE = 'label,type,position,unit,length_mm,depth_mm,height_mm\n1,lack of fusion,9:30,clock,12,4,1.5\n';

function textReaders(): Readonly<Record<string, TextReader>> {
  const lesson = readFileSync('simulator/lessons/01-verify-the-rig.toml', 'utf8');
  return {
    lesson: { good: lesson, read: (file, text) => parseLesson(text, file) },
    scenario: { good: lesson, read: (file, text) => parseScenario(text, file) },
    'dashboard configuration': {
      good: DASHBOARD_TOML,
      read: file => loadDashboardConfig({}, file),
    },
    'edge configuration': {
      good: EDGE_TOML,
      read: file => loadEdgeConfig({ file, env: {}, set: [] }),
    },
    'indication table': {
      good: TABLE,
      read: (_file, text) => {
        const split = csvRows(text);
        const read = split.ok ? readIndicationTable(split.rows, split.semicolons) : split;
        if (!read.ok) throw new ProgramError(read.problem, 3);
        requireSound(read.indications);
      },
    },
    'joint record': {
      good: JSON.stringify({ schema: 'girthlog.joint-record/1', record: {}, signature: '' }),
      read: file => verifyFile(file, new Set(), null),
    },
  };
}

const texts: FuzzTarget = {
  name: 'lessons, configurations, tables, records',
  cases: 'files',
  wholeRun: 40_000,
  open: async scratch => {
    const readers = textReaders();
    const file = join(scratch, 'file.txt');
    return {
      tryOne: async dice => {
        const name = dice.pick(Object.keys(readers));
        const { good, read } = readers[name]!;
        const bytes = mutateText(dice, good, 60_000);
        writeFileSync(file, bytes);
        return `${name}: ${await tried(() => read(file, new TextDecoder().decode(bytes)))}`;
      },
      stillWorks: async () => {
        for (const name of ['lesson', 'dashboard configuration', 'edge configuration', 'indication table']) {
          const { good, read } = readers[name]!;
          writeFileSync(file, good);
          if ((await tried(() => read(file, good))) !== 'taken') throw new Error(`a good ${name} is refused`);
        }
      },
      close: () => {},
    };
  },
};

const documents: FuzzTarget = {
  name: 'procedures and Modbus maps',
  cases: 'documents',
  wholeRun: 40_000,
  open: async () => {
    const schemas = [procedureSchema, modbusMapSchema].map(schema => ({
      schema,
      json: z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as JsonSchema,
    }));
    return {
      tryOne: dice => {
        const { schema, json } = dice.pick(schemas);
        const good = dice.chance(0.5) ? EXAMPLE_PROCEDURE : new SchemaValues(dice, json).of(json);
        const read = schema.safeParse(dice.chance(0.9) ? mutateJson(dice, good) : good);
        if (read.success) requireSound(read.data);
        return read.success ? 'taken' : 'refused';
      },
      stillWorks: () => {
        procedureSchema.parse(EXAMPLE_PROCEDURE);
      },
      close: () => {},
    };
  },
};

const backups: FuzzTarget = {
  name: 'backups, restored',
  cases: 'files',
  wholeRun: 3000,
  open: async scratch => {
    const data = join(scratch, 'data');
    const store = new SqliteStore({
      directory: data,
      sqlite: Sqlite,
      report: () => {},
      now: () => new Date(),
    });
    store.open();
    const records = testChain(5).map(message => ({
      ...{ site: 'spread-1', rig: 'rig-a', message, body: null, samples: null, unreadable: null },
    }));
    store.commitRecords(records, new Date().toISOString());
    store.close();
    const file = join(scratch, 'good.tar.gz');
    const now = () => new Date();
    await writeBackup({
      data,
      file,
      withKeys: false,
      sqlite: Sqlite,
      software: 'x',
      now,
      onProgress: () => {},
    });
    const good = readFileSync(file);
    const bad = join(scratch, 'bad.tar.gz');
    const into = join(scratch, 'into');
    const restore = (from: string): Promise<unknown> =>
      restoreBackup({ file: from, into, sqlite: Sqlite, onProgress: () => {} });
    const neighbours = (): string => readdirSync(scratch).sort().join();
    const before = neighbours();
    return {
      tryOne: async dice => {
        writeFileSync(bad, spoiltBackup(dice, good));
        const outcome = await tried(() => restore(bad));
        if (outcome !== 'taken' && existsSync(into))
          throw new Error('a refused backup left something behind');
        rmSync(into, { recursive: true, force: true });
        rmSync(bad);
        if (neighbours() !== before) throw new Error(`files outside the folder: ${neighbours()}`);
        return outcome;
      },
      stillWorks: async () => {
        await restore(file);
        const back = new SqliteStore({ directory: into, sqlite: Sqlite, report: () => {}, now });
        back.open();
        const states = back.streamStates();
        back.close();
        if (states[0]?.stream !== STREAM || states[0].upto !== 5)
          throw new Error('a good backup is not whole');
      },
      close: () => {},
    };
  },
};

/** Outside the compression most changes only spoil its checksum; inside, names and lengths are met. */
function spoiltBackup(dice: Dice, good: Uint8Array): Uint8Array {
  const limit = good.length + 4096;
  if (dice.chance(0.1)) return good;
  if (dice.chance(0.3)) return mutateBytes(dice, good, limit);
  const tar = gunzipSync(good);
  // Names, sizes and the manifest stand in the first blocks; the database behind them is mostly pages.
  const head = dice.chance(0.7) ? 4096 : tar.length;
  return gzipSync(Buffer.concat([mutateBytes(dice, tar.subarray(0, head), head + 4096), tar.subarray(head)]));
}

const blackBoxes: FuzzTarget = {
  name: 'black boxes',
  cases: 'files',
  wholeRun: 10_000,
  open: async scratch => {
    const header = {
      stream: STREAM,
      origin: 'simulated',
      source: 'tcp',
      startedUs: 0,
      utcMinusRecordMs: 0,
    } as const;
    const content = new TextEncoder().encode('!D,1,2,3*00\n');
    const frames = Array.from({ length: 8 }, (_, i) =>
      encodeFrame({ kind: 1, arrivalUs: i * 1000, content }),
    );
    const good = Buffer.concat([encodeHeader(header), ...frames]);
    const file = join(scratch, 'x.blackbox');
    const count = async (bytes: Uint8Array): Promise<number> => {
      writeFileSync(file, bytes);
      let n = 0;
      for await (const frame of readFrames(file)) {
        if (frame.content.length > 1_048_576) throw new Error('a frame longer than any');
        n++;
      }
      return n;
    };
    return {
      tryOne: async dice => {
        const n = await count(mutateBytes(dice, good, 100_000));
        return n === 0 ? 'nothing read' : n < frames.length ? 'read in part' : 'read whole';
      },
      stillWorks: async () => {
        if ((await count(good)) !== frames.length) throw new Error('a good black box is not read whole');
      },
      close: () => {},
    };
  },
};

export const fileTargets: readonly FuzzTarget[] = [recordings, texts, documents, backups, blackBoxes];
