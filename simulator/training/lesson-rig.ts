import type { Side } from '#core/messages/common';
import type { Channel } from '#core/sample/channels';
import { DEVICE_CHANNELS } from '../device/device-emulator.ts';
import type { Fault } from '../faults/fault.ts';
import type { DeviceFrame, RigFrame } from '../rig/rig-frame.ts';
import type { PassTruth, RigPlace } from '../rig/rig-program.ts';
import type { RigSettings } from '../rig/rig-settings.ts';
import type { FrameSource } from '../run/rig-line.ts';
import type { ScenarioRun } from '../scenario/rigs-of-scenario.ts';
import type { RigMoment } from './truth-book.ts';

/** A pass that begins shortly: what the record of it has to be told. */
export interface LessonPass {
  readonly joint: string;
  readonly side: Side;
  readonly pass: string;
  readonly startDegrees: number;
}

export type LessonRigEvent =
  | { readonly event: 'passAhead'; readonly pass: LessonPass }
  | { readonly event: 'passDone'; readonly pass: LessonPass; readonly truth: PassTruth | null };

/** One rig of a lesson: with physics, or as it was recorded. */
export interface LessonRig {
  readonly settings: RigSettings;
  readonly channels: readonly Channel[];
  /** What its device announces, µs. */
  readonly samplePeriodUs: number;
  readonly source: FrameSource<DeviceFrame>;
  /** The pass that runs, and where; null between passes. */
  readonly place: RigPlace | null;
  readonly arc: boolean;
  drainEvents(): LessonRigEvent[];
  /** What the truth is followed by. */
  moment(): Pick<RigMoment, 'phase' | 'lateFor'>;
  /** Null where nothing can be put in: a recording is what it is. */
  inject: ((fault: Fault) => void) | null;
  /** The arc goes out and nothing more is welded. */
  breakOff(): void;
}

/** A rig with physics as a lesson sees it. */
export class SimulatedLessonRig implements LessonRig {
  readonly settings: RigSettings;
  readonly channels = DEVICE_CHANNELS;
  readonly samplePeriodUs: number;
  readonly source: FrameSource<RigFrame>;
  private readonly program: ScenarioRun['program'];
  private last: RigFrame | null = null;

  constructor({ settings, program }: ScenarioRun, frameMs: number) {
    this.samplePeriodUs = frameMs * 1000;
    this.settings = settings;
    this.program = program;
    const keep = (frame: RigFrame): RigFrame => {
      this.last = frame;
      return frame;
    };
    this.source = {
      get ended() {
        return program.ended;
      },
      get nextEndUs() {
        return program.nextEndUs;
      },
      nextFrame: () => keep(program.nextFrame()),
    };
  }

  get place(): RigPlace | null {
    return this.program.place;
  }

  get arc(): boolean {
    return (this.last?.truth.currentA ?? 0) > 0;
  }

  drainEvents(): LessonRigEvent[] {
    return this.program.drainEvents().flatMap((event): LessonRigEvent[] => {
      if (event.event === 'programEnded') return [];
      const { joint, side, setPoint, startDegrees } = event.pass;
      const pass = { joint, side, pass: setPoint.name, startDegrees };
      return event.event === 'passAhead'
        ? [{ event: 'passAhead', pass }]
        : [{ event: 'passDone', pass, truth: event.truth }];
    });
  }

  moment(): Pick<RigMoment, 'phase' | 'lateFor'> {
    const next = this.program.nextPass;
    const lateFor =
      next?.lateS === undefined || next.lateS === 0
        ? null
        : { joint: next.joint, pass: next.setPoint.name, sinceS: next.startsAtS - next.lateS };
    return { phase: this.last?.phase ?? 'idle', lateFor };
  }

  inject = (fault: Fault): void => this.program.inject(fault);

  breakOff(): void {
    this.program.breakOff();
  }
}
