import { stringify } from 'smol-toml';
import { describe, expect, it } from 'vitest';
import { FAULT_KINDS, FAULT_UNITS } from '../../../simulator/faults/fault.ts';
import { outputUrl } from '../../../simulator/run/simulator-run.ts';
import { DEMO_SCENARIO } from '../../../simulator/scenario/demo-scenario.ts';
import { parseScenario, ScenarioError } from '../../../simulator/scenario/load-scenario.ts';
import { passesOf } from '../../../simulator/scenario/scenario-passes.ts';

const HEAD = 'schema = "girthlog.scenario/1"\n[[rig]]\nid = "rig-a"\nside = "A"\n';

describe('scenario files', () => {
  it('the built-in one survives being written and read', () => {
    const text = stringify(JSON.parse(JSON.stringify(DEMO_SCENARIO)));
    expect(parseScenario(text, 'built-in')).toEqual(DEMO_SCENARIO);
  });

  it('a listed pass is taken in SI', () => {
    const scenario = parseScenario(
      `${HEAD}[[pass]]\nname = "fill"\ntype = "fill"\nprogram = 3\nwire_feed_m_per_min = 9\nvoltage_v = 24\n` +
        'travel_mm_per_s = 7\noscillation_per_min = 120\noscillation_width_mm = 4\ntransfer = "pulsed"\n',
      'test',
    );
    expect(passesOf(scenario)).toEqual([
      {
        name: 'fill',
        type: 'fill',
        program: 3,
        wireDiameterMm: 1,
        wireFeedMmS: 150,
        tipVoltageV: 24,
        travelMmS: 7,
        ctwdMm: 12,
        oscillationWidthMm: 4,
        oscillationHz: 2,
        transfer: 'pulsed',
        gasLPerMin: 22,
      },
    ]);
  });

  it.each([
    ['not TOML', 'rig = [', /test:1: /],
    ['no rig', 'schema = "girthlog.scenario/1"\n', /rig/],
    ['an unknown key', `${HEAD}colour = "red"\n`, /colour/],
    ['another schema', HEAD.replace('/1', '/9'), /schema/],
    ['an unknown fault', `${HEAD}[[fault]]\nkind = "gremlin"\n`, /fault\.0\.kind/],
    ['a wrong pass without the other', `${HEAD}[[fault]]\nkind = "wrongPass"\n`, /other_pass/],
    [
      'a pass nobody welds',
      `${HEAD}[[fault]]\nkind = "badEarth"\npass = "fill"\n`,
      /fault\.0\.pass: there is no pass "fill": root, hot/,
    ],
    ['a rig twice', `${HEAD}[[rig]]\nid = "rig-a"\nside = "B"\n`, /rig "rig-a" stands twice/],
    ['two places', `${HEAD}[[fault]]\nkind = "badEarth"\nfrom_mm = 1\nfrom_clock = 3\n`, /not both/],
  ])('%s is refused in one line that names it', (_what, text, expected) => {
    expect(() => parseScenario(text, 'test')).toThrow(ScenarioError);
    try {
      parseScenario(text, 'test');
    } catch (error) {
      expect((error as Error).message).toMatch(expected);
      expect((error as Error).message).not.toContain('\n');
    }
  });

  it('every kind of fault has a unit', () => {
    for (const kind of FAULT_KINDS) expect(FAULT_UNITS[kind]).toMatch(/^(mm|%|mOhm|V|1|s)$/);
  });
});

describe('output addresses', () => {
  it('count TCP ports up, fill in the rig, or take one each', () => {
    expect(outputUrl(['tcp://127.0.0.1:7001'], 2, 1, 'rig-b')).toBe('tcp://127.0.0.1:7002');
    expect(outputUrl(['tcp://127.0.0.1:0'], 2, 1, 'rig-b')).toBe('tcp://127.0.0.1:0');
    expect(outputUrl(['file:///tmp/{rig}.bin'], 2, 0, 'rig-a')).toBe('file:///tmp/rig-a.bin');
    expect(outputUrl(['tcp://h:1', 'serial:///dev/x'], 2, 1, 'rig-b')).toBe('serial:///dev/x');
  });

  it('two rigs never share a file or a serial port', () => {
    expect(() => outputUrl(['file:///tmp/one.bin'], 2, 0, 'rig-a')).toThrow(/\{rig\}/);
    expect(() => outputUrl(['tcp://h:1', 'tcp://h:2'], 3, 2, 'rig-c')).toThrow(/2 outputs for 3 rigs/);
  });
});
