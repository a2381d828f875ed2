import { DeviceEmulator } from '../device/device-emulator.ts';
import type { ByteOutput } from '../output/byte-output.ts';
import type { DeviceFrame } from '../rig/rig-frame.ts';
import { Pace } from '../run/pace.ts';
import { RigLine } from '../run/rig-line.ts';
import type { LessonRig, LessonRigEvent } from './lesson-rig.ts';
import type { TrainingClock } from './training-clock.ts';
import type { TruthBook } from './truth-book.ts';

export interface LessonRunOptions {
  readonly rigs: readonly LessonRig[];
  readonly truth: TruthBook;
  readonly clock: TrainingClock;
  /** The devices' start count: higher than that of the lesson before. */
  readonly boot: number;
  /** Where a rig's bytes go. */
  outputOf(rig: string): ByteOutput;
  onEvent(rig: LessonRig, event: LessonRigEvent): void;
  /** Everything planned has been welded. */
  onOver(): void;
}

const WAKE_MS = 10;
/** Devices go on so long after the end, so that the record sees the arc out and the gas off, s. */
export const RUN_OUT_S = 5;

interface RunningRig {
  readonly rig: LessonRig;
  readonly line: RigLine<DeviceFrame>;
  readonly device: DeviceEmulator;
}

/** One lesson under way: its rigs, their devices, and how far simulated time has come. */
export class LessonRun {
  private readonly options: LessonRunOptions;
  private readonly pace = new Pace(1);
  private readonly rigs: readonly RunningRig[];
  private cancel: (() => void) | null = null;
  private advancing = false;
  private over = false;
  private endAtS: number | null = null;

  constructor(options: LessonRunOptions) {
    this.options = options;
    // Nothing moves before the start.
    this.pace.hold(options.clock.monotonicMs());
    this.rigs = options.rigs.map(rig => {
      const device = new DeviceEmulator({
        format: 'text',
        boot: options.boot,
        samplePeriodUs: rig.samplePeriodUs,
        firstUs: 0,
        channels: rig.channels,
      });
      const line = new RigLine(rig.source, device, options.outputOf(rig.settings.id), frame =>
        this.seen(rig, frame),
      );
      return { rig, line, device };
    });
  }

  get simulatedS(): number {
    return this.pace.simulatedS;
  }

  /** What a reader of this rig's line is told first. */
  greetingOf(rig: string): Uint8Array {
    return this.rigs.find(({ rig: { settings } }) => settings.id === rig)!.device.announce();
  }

  goOn(speed: number): void {
    const { clock } = this.options;
    this.pace.setSpeed(speed, clock.monotonicMs());
    this.pace.goOn(clock.monotonicMs());
    this.cancel ??= clock.every(WAKE_MS, () => void this.advance());
  }

  freeze(): void {
    this.pace.hold(this.options.clock.monotonicMs());
  }

  setSpeed(speed: number): void {
    this.pace.setSpeed(speed, this.options.clock.monotonicMs());
  }

  /** The arcs go out; devices run on for RUN_OUT_S and fall silent. */
  breakOff(): void {
    for (const { rig } of this.rigs) rig.breakOff();
    this.over = true;
    this.runOut();
  }

  /** Nothing moves and nothing is sent any more. */
  stop(): void {
    this.cancel?.();
    this.cancel = null;
  }

  private runOut(): void {
    this.endAtS = this.simulatedS + RUN_OUT_S;
    // A lesson that never began sent nothing, and sends nothing now.
    if (this.simulatedS === 0) this.stop();
    else this.goOn(1);
  }

  private async advance(): Promise<void> {
    if (this.advancing) return;
    this.advancing = true;
    const dueS = this.pace.dueS(this.options.clock.monotonicMs());
    for (const { line } of this.rigs) await line.advanceTo(Math.round(dueS * 1e6));
    this.advancing = false;
    if (this.endAtS !== null && dueS >= this.endAtS) this.stop();
    if (this.over || !this.rigs.every(({ rig }) => rig.source.ended)) return;
    this.over = true;
    this.options.onOver();
    this.runOut();
  }

  private seen(rig: LessonRig, frame: DeviceFrame): void {
    const { clock, truth, onEvent } = this.options;
    const { place } = rig;
    truth.follow({
      rig: rig.settings.id,
      simulatedS: (frame.startUs + frame.lengthUs) / 1e6,
      wallMs: clock.wallMs(),
      joint: place?.joint ?? null,
      pass: place?.pass ?? null,
      alongMm: place?.alongMm ?? 0,
      ...rig.moment(),
    });
    for (const event of rig.drainEvents()) onEvent(rig, event);
  }
}
