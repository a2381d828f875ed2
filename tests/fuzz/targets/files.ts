/** Files people bring: recordings, maps, procedures, lessons, configurations, records, tables. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { readIndicationTable } from '#core/indication/indication-table';
import { procedureSchema } from '#core/procedure/procedure';
import { ProgramError } from '#core/program/program-error';
import { csvRows } from '../../../dashboard/server/api/csv-rows.ts';
import { loadConfig as loadDashboardConfig } from '../../../dashboard/server/load-config.ts';
import { verifyFile } from '../../../dashboard/server/verify/verify-file.ts';
import { loadConfig as loadEdgeConfig } from '../../../edge/config/load-config.ts';
import { columnMapSchema } from '../../../edge/replay/column-map.ts';
import { readRecording } from '../../../edge/replay/recording-reader.ts';
import { replayRecording } from '../../../edge/replay/replay.ts';
import { modbusMapSchema } from '../../../edge/source/modbus-map.ts';
import { parseScenario } from '../../../simulator/scenario/load-scenario.ts';
import { parseLesson } from '../../../simulator/training/load-lesson.ts';
import { EXAMPLE_PROCEDURE } from '../../support/test-records.ts';
import { type JsonSchema, SchemaValues } from '../from-schema.ts';
import { mutateJson, mutateText } from '../mutate.ts';
import { tried } from '../refusal.ts';
import type { FuzzTarget } from '../target.ts';

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

export const fileTargets: readonly FuzzTarget[] = [recordings, texts, documents];
