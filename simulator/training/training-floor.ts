import type { ByteOutput } from '../output/byte-output.ts';
import type { RigSettings } from '../rig/rig-settings.ts';
import type { LessonRig, LessonRigEvent } from './lesson-rig.ts';

export interface FloorPlan {
  readonly rigs: readonly RigSettings[];
  /** A recorded joint: its records say replay. */
  readonly replay: boolean;
  /** The lesson before ran fast: its records are dated ahead of the clock. */
  readonly afterHurry: boolean;
}

/** What stands around the rigs of a lesson: their lines, who listens to them, and who assigns their work. */
export interface TrainingFloor {
  /** The number a lesson's first joint gets: after those that the store has. */
  firstJoint(prefix: string, first: number): Promise<number>;
  /** Lines for these rigs, and somebody who listens to each. */
  prepare(plan: FloorPlan): Promise<void>;
  outputOf(rig: string): ByteOutput;
  greetWith(greetingOf: (rig: string) => Uint8Array): void;
  /** One sentence on whom nobody listens to yet, after waiting a little; null: everything is heard. */
  missing(): Promise<string | null>;
  onEvent(rig: LessonRig, event: LessonRigEvent): void;
  lessonEnded(): void;
}
