import { type FileHandle, open } from 'node:fs/promises';
import { performance } from 'node:perf_hooks';
import { DEVICE_CHANNELS, DeviceEmulator, type DeviceFormat } from '../device/device-emulator.ts';
import { OutputError } from '../output/byte-output.ts';
import { FileOutput } from '../output/file-output.ts';
import { openOutput } from '../output/open-output.ts';
import { TRUTH_HEADER, truthLine } from '../output/truth-file.ts';
import type { RigFrame } from '../rig/rig-frame.ts';
import type { ProgramEvent } from '../rig/rig-program.ts';
import type { RigSettings } from '../rig/rig-settings.ts';
import { rigsOfScenario, type ScenarioRun } from '../scenario/rigs-of-scenario.ts';
import type { Scenario } from '../scenario/scenario.ts';
import { Pace } from './pace.ts';
import { RigLine } from './rig-line.ts';

export interface SimulatorOptions {
  readonly scenario: Scenario;
  readonly seed: number;
  readonly rigCount: number | null;
  /** One URL a rig, or one for all with {rig} in it. */
  readonly outputs: readonly string[];
  readonly format: DeviceFormat;
  readonly rateHz: number;
  readonly speed: number;
  /** Stop after so much simulated time, s; null: when the scenario ends. */
  readonly durationS: number | null;
  readonly boot: number;
  /** Where the devices' 32-bit microsecond counters start. */
  readonly firstUs: number;
  /** Path with {rig} for the true values; null: not written. */
  readonly truth: string | null;
}

export interface SimulatorListener {
  listening(rig: RigSettings, url: string): void;
  event(rig: RigSettings, event: ProgramEvent): void;
  /** A port went away: its rig goes on unheard. */
  outputLost(rig: RigSettings, reason: string): void;
}

interface RunningRig extends ScenarioRun {
  readonly line: RigLine<RigFrame>;
  truth: FileHandle | null;
  truthText: string;
}

const WAKE_MS = 10;
/** Files are written in pieces of so much simulated time. */
const PIECE_S = 1;

/** A simulation under way: rigs, devices and where their bytes go. */
export class SimulatorRun {
  private readonly options: SimulatorOptions;
  private readonly listener: SimulatorListener;
  private rigs: RunningRig[] = [];
  private stopping = false;

  constructor(options: SimulatorOptions, listener: SimulatorListener) {
    this.options = options;
    this.listener = listener;
  }

  /** Opens all outputs. Throws OutputError. */
  async start(): Promise<void> {
    const { options } = this;
    const frameMs = 1000 / options.rateHz;
    const runs = rigsOfScenario(options.scenario, options.seed, options.rigCount, frameMs);
    for (const [index, run] of runs.entries()) {
      const device = new DeviceEmulator({
        format: options.format,
        boot: options.boot,
        samplePeriodUs: frameMs * 1000,
        firstUs: options.firstUs,
        channels: DEVICE_CHANNELS,
      });
      const output = await openOutput(outputUrl(options.outputs, runs.length, index, run.settings.id), {
        greeting: () => device.announce(),
        onClosed: reason => this.listener.outputLost(run.settings, reason),
      });
      await output.start();
      const { settings, program } = run;
      const line = new RigLine(program, device, output, frame => {
        if (rig.truth) rig.truthText += truthLine(frame);
        for (const event of program.drainEvents()) this.listener.event(settings, event);
      });
      const rig: RunningRig = { ...run, line, truth: null, truthText: '' };
      this.rigs.push(rig);
      if (options.truth !== null) rig.truth = await openTruth(options.truth, runs.length, run.settings.id);
      this.listener.listening(run.settings, output.url);
    }
  }

  /** run() ends soon; what is written so far stays whole. */
  requestStop(): void {
    this.stopping = true;
  }

  /** Runs until the scenario or the duration ends, or a stop is requested. */
  async run(): Promise<void> {
    const asFastAsPossible = this.rigs.every(({ line }) => line.output instanceof FileOutput);
    if (asFastAsPossible) await this.runThrough();
    else await this.runPaced();
  }

  /** Closes all outputs, after run() has ended. */
  async stop(): Promise<void> {
    for (const rig of this.rigs) {
      await rig.line.output.stop();
      await rig.truth?.close();
    }
    this.rigs = [];
  }

  private get simulatedEndS(): number {
    return this.options.durationS ?? Number.POSITIVE_INFINITY;
  }

  private async runThrough(): Promise<void> {
    for (let atS = 0; !this.stopping && atS < this.simulatedEndS; ) {
      const open = this.rigs.filter(({ program }) => !program.ended);
      if (open.length === 0) return;
      atS = Math.min(atS + PIECE_S, this.simulatedEndS);
      for (const rig of open) await this.advance(rig, atS);
      // Lets a signal in between.
      await new Promise(resolve => setImmediate(resolve));
    }
  }

  private async runPaced(): Promise<void> {
    const pace = new Pace(this.options.speed);
    while (!this.stopping && pace.simulatedS < this.simulatedEndS) {
      if (this.rigs.every(({ program }) => program.ended)) return;
      const dueS = Math.min(pace.dueS(performance.now()), this.simulatedEndS);
      for (const rig of this.rigs) await this.advance(rig, dueS);
      await new Promise(resolve => setTimeout(resolve, WAKE_MS));
    }
  }

  private async advance(rig: RunningRig, toS: number): Promise<void> {
    await rig.line.advanceTo(Math.round(toS * 1e6));
    if (rig.truthText === '') return;
    const text = rig.truthText;
    rig.truthText = '';
    await rig.truth?.write(text);
  }
}

async function openTruth(template: string, rigCount: number, rig: string): Promise<FileHandle> {
  const path = template.replaceAll('{rig}', rig);
  if (rigCount > 1 && path === template) {
    throw new OutputError(`--truth ${template}: with ${rigCount} rigs the name must contain {rig}`);
  }
  const file = await open(path, 'w').catch((error: Error) => {
    throw new OutputError(`cannot write ${path}: ${error.message}`);
  });
  await file.write(TRUTH_HEADER);
  return file;
}

/** The URL of one rig; a TCP port counts up from the given one, {rig} stands for the rig's id. */
export function outputUrl(outputs: readonly string[], rigCount: number, index: number, rig: string): string {
  const given = outputs.length === 1 ? outputs[0]! : outputs[index];
  if (given === undefined || (outputs.length > 1 && outputs.length !== rigCount)) {
    throw new OutputError(`${outputs.length} outputs for ${rigCount} rigs: give one, or one for each`);
  }
  const url = given.replaceAll('{rig}', rig);
  if (outputs.length > 1 || rigCount === 1 || url !== given) return url;
  const parsed = URL.canParse(url) ? new URL(url) : null;
  if (parsed?.protocol !== 'tcp:') {
    throw new OutputError(`"${url}": with ${rigCount} rigs the output must contain {rig}`);
  }
  const port = Number(parsed.port);
  return port === 0 ? url : `tcp://${parsed.hostname}:${port + index}`;
}
