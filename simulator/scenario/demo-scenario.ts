import { type Scenario, type ScenarioInput, scenarioSchema } from './scenario.ts';

/**
 * What `girthlog-simulator run` and `npm start` weld without a scenario file: two rigs, one a side, on
 * example joints of 610 mm pipe, with a few mild faults so that there is something to see.
 */
export const DEMO_SCENARIO_INPUT: ScenarioInput = {
  schema: 'girthlog.scenario/1',
  title: 'Demo: two sides of one joint, a few mild faults',
  rig: [
    { id: 'rig-a', side: 'A' },
    { id: 'rig-b', side: 'B', lag_s: 1.5 },
  ],
  fault: [
    // The torch is set high after half the hot pass: current sinks below its limit, voltage rises a little.
    { kind: 'stickOutGrowth', size: 6, side: 'A', pass: 'hot', from_mm: 380, to_mm: 760, ramp_mm: 120 },
    // A restart on the first fill.
    { kind: 'stopRestart', size: 6, side: 'A', pass: 'fill 1', from_mm: 480, every: 2 },
    // The carriage runs fast for a while.
    { kind: 'travelOffset', size: 14, side: 'B', pass: 'fill 2', from_mm: 320, to_mm: 560, ramp_mm: 40 },
    // Every third joint: the cap's first stretch is welded with the fill's program.
    { kind: 'wrongPass', side: 'B', pass: 'cap', other_pass: 'fill 3', to_mm: 60, joint: 2, every: 3 },
    {
      kind: 'feedOffset',
      size: -12,
      side: 'A',
      pass: 'fill 3',
      from_mm: 200,
      to_mm: 420,
      joint: 2,
      every: 2,
    },
  ],
};

export const DEMO_SCENARIO: Scenario = scenarioSchema.parse(DEMO_SCENARIO_INPUT);
