import { DEMO_SCENARIO } from '../scenario/demo-scenario.ts';
import { loadScenario } from '../scenario/load-scenario.ts';
import type { Scenario } from '../scenario/scenario.ts';
import { eventObject, eventSentence } from './event-lines.ts';
import { type SimulatorOptions, SimulatorRun } from './simulator-run.ts';

/** Frames are whole milliseconds long. */
export const RATES_HZ = [10, 20, 25, 40, 50, 100, 125, 200, 250, 500, 1000] as const;

export interface RunFlags {
  readonly output: readonly string[];
  readonly format: 'text' | 'binary';
  readonly rate: number;
  readonly speed: number;
  readonly seed: number;
  readonly rigs?: number;
  readonly scenario?: string;
  readonly firstJoint?: number;
  readonly joints?: number;
  readonly duration?: number;
  readonly boot: number;
  readonly firstUs: number;
  readonly truth?: string;
  readonly json?: boolean;
}

/** `girthlog-simulator run`. Throws ScenarioError and OutputError. */
export async function runCommand(flags: RunFlags): Promise<void> {
  const read = flags.scenario === undefined ? DEMO_SCENARIO : await loadScenario(flags.scenario);
  const scenario: Scenario = {
    ...read,
    joints: {
      ...read.joints,
      first: flags.firstJoint ?? read.joints.first,
      count: flags.joints ?? read.joints.count,
    },
  };
  const options: SimulatorOptions = {
    scenario,
    seed: flags.seed,
    rigCount: flags.rigs ?? null,
    outputs: flags.output,
    format: flags.format,
    rateHz: flags.rate,
    speed: flags.speed,
    durationS: flags.duration ?? null,
    boot: flags.boot,
    firstUs: flags.firstUs,
    truth: flags.truth ?? null,
  };
  const say = (object: Record<string, unknown>, sentence: string) => {
    process.stdout.write(flags.json ? `${JSON.stringify(object)}\n` : `${sentence}\n`);
  };
  const run = new SimulatorRun(options, {
    listening: (rig, url) => {
      say(
        {
          event: 'listening',
          rig: rig.id,
          url,
          side: rig.side,
          format: flags.format,
          samplePeriodMs: 1000 / flags.rate,
          referenceRadiusMm: rig.referenceRadiusMm,
          voltageTap: rig.voltageTap,
        },
        `${rig.id} (side ${rig.side}, SIMULATED): ${url}`,
      );
    },
    event: (rig, event) => say(eventObject(rig, event), eventSentence(rig, event)),
    outputLost: (rig, reason) => {
      say({ event: 'outputLost', rig: rig.id, reason }, `${rig.id}: ${reason}; the rig goes on unheard`);
    },
  });
  const stop = () => run.requestStop();
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  try {
    await run.start();
    await run.run();
  } finally {
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    await run.stop();
  }
}
