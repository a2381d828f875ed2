/** docs/simulator.md says what the code does. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FAULT_UNITS } from '../../../simulator/faults/fault.ts';
import { SEQUENCE_TIMES } from '../../../simulator/rig/pass-sequence.ts';
import { STATUS_BITS } from '../../../simulator/rig/rig-frame.ts';
import { RATES_HZ } from '../../../simulator/run/run-command.ts';
import { DEMO_SCENARIO } from '../../../simulator/scenario/demo-scenario.ts';
import { EXAMPLE_PASSES } from '../../../simulator/scenario/example-passes.ts';
import { plannedPasses } from '../../../simulator/scenario/joint-plan.ts';
import { parseScenario } from '../../../simulator/scenario/load-scenario.ts';
import { scenarioSchema } from '../../../simulator/scenario/scenario.ts';
import { codes, tableIn } from '../../support/document-table.ts';

const read = (path: string): string => readFileSync(new URL(`../../../${path}`, import.meta.url), 'utf8');
const text = read('docs/simulator.md');
const tableAfter = (heading: string): string[][] => tableIn(text, heading);

describe('docs/simulator.md', () => {
  it('lists every fault with its unit', () => {
    const rows = tableAfter('## Faults').map(([kind, unit]) => [codes(kind!)[0], unit]);
    expect(Object.fromEntries(rows)).toEqual(FAULT_UNITS);
  });

  it('lists every physical model with its source', () => {
    const rows = tableAfter('| Model | Equation');
    const named = rows.map(([model]) => codes(model!)[0]);
    const folder = new URL('../../../simulator/physics/', import.meta.url);
    for (const file of readdirSync(folder)) expect(named, file).toContain(file);
    for (const row of rows) expect(row[3], row[0]).not.toBe('');
  });

  it('gives the bits of the status word', () => {
    const values = tableAfter('### The device').map(([bit, value]) => [Number(bit), Number(value)]);
    for (const [bit, value] of values) expect(value).toBe(2 ** bit!);
    expect(values.map(([, value]) => value)).toEqual(Object.values(STATUS_BITS));
  });

  it('lists every option of the programs, and no other', () => {
    const options = (source: string) =>
      [...source.matchAll(/'(--[a-z-]+)[ ']/g)].map(match => match[1]!).sort();
    const documented = (heading: string, document = text) =>
      tableIn(document, heading).flatMap(([cell]) => codes(cell!).map(code => code.split(' ')[0]!));
    const training = read('docs/training.md');
    const all = [
      ...documented('npx girthlog-simulator run'),
      ...documented('| Option of `train`', training),
      ...documented('| Option of the others', training),
    ];
    // `train` and `lessons` share one.
    const inCode = options(read('simulator/main.ts'));
    expect(all.sort()).toEqual(inCode.filter((name, i) => name !== '--lessons' || inCode[i - 1] !== name));
    expect(documented('same HTTP interface').sort()).toEqual(options(read('simulator/demo/demo-command.ts')));
    expect(text).toContain(RATES_HZ.join(', '));
  });

  it('lists every key of a scenario', () => {
    const documented = tableAfter('| Key | Meaning').flatMap(([cell]) => {
      const [first, ...others] = codes(cell!);
      const table = first!.split('.')[0]!;
      return [first!, ...others.map(key => `${table}.${key}`)];
    });
    const { joints, pipe, schedule, rig, pass, fault } = scenarioSchema.shape;
    const tables = {
      joints: joints.unwrap().shape,
      pipe: pipe.unwrap().shape,
      schedule: schedule.unwrap().shape,
      rig: rig.element.shape,
      pass: pass.unwrap().element.shape,
      fault: fault.unwrap().element.shape,
    };
    const keys = Object.entries(tables).flatMap(([table, shape]) =>
      Object.keys(shape).map(key => `${table}.${key}`),
    );
    expect(documented.sort()).toEqual(keys.sort());
  });

  it('shows a scenario that is accepted', () => {
    const example = /```toml\n([\s\S]*?)```/.exec(text)![1]!;
    expect(parseScenario(example, 'example').fault).toHaveLength(1);
  });

  it('gives the example set-points', () => {
    const rows = tableAfter('| Pass | Program');
    expect(rows.map(([pass]) => pass)).toEqual(['root', 'hot', 'fill 1, 2, 3', 'cap']);
    const numbers = rows.map(row => row.slice(2, 5).map(Number));
    const representatives = [0, 1, 2, 5].map(i => EXAMPLE_PASSES[i]!);
    for (const [i, pass] of representatives.entries()) {
      expect(numbers[i]![0]).toBeCloseTo(pass.wireFeedMmS * 0.06, 9);
      expect(numbers[i]!.slice(1)).toEqual([pass.tipVoltageV, pass.travelMmS]);
    }
    const { gasBeforeS, dwellS, craterS, burnBackS, gasAfterS } = SEQUENCE_TIMES;
    expect(text).toContain(`gas ${gasBeforeS} s, wire runs in slowly`);
    expect(text.replace(/\s+/g, ' ')).toContain(
      `arc standing ${dwellS} s, travel, crater standing ${craterS} s at 70 % feed, burn-back ${burnBackS} s, gas ${gasAfterS} s`,
    );
  });

  it('tells when the demo shows its first faults', () => {
    const minutes = (side: number, pass: string): number => {
      for (const planned of plannedPasses(DEMO_SCENARIO, DEMO_SCENARIO.rig[side]!, 0)) {
        const fault = planned.faults[0];
        if (planned.setPoint.name !== pass || !fault) continue;
        return (planned.startsAtS + fault.fromMm / planned.setPoint.travelMmS) / 60;
      }
      return Number.NaN;
    };
    // "about 2 min" and "about 6½ min" after the start, and the length of a joint.
    expect(Math.abs(minutes(0, 'hot') - 2.1)).toBeLessThan(0.35);
    expect(Math.abs(minutes(1, 'fill 2') - 6.5)).toBeLessThan(0.35);
    const joints = plannedPasses(DEMO_SCENARIO, DEMO_SCENARIO.rig[0]!, 0);
    const starts = Array.from({ length: 7 }, () => joints.next().value!.startsAtS);
    expect((starts[6]! - starts[0]!) / 60).toBeCloseTo(13.5, 0);
  });
});
