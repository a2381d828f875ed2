/** The control of lessons over real rigs with time and listeners that a test moves. */
import { LessonControl } from '../../simulator/training/lesson-control.ts';
import { type LibraryLesson, readLessons, shippedLessons } from '../../simulator/training/lesson-library.ts';
import type { LessonRigEvent } from '../../simulator/training/lesson-rig.ts';
import type { TrainingClock } from '../../simulator/training/training-clock.ts';
import type { FloorPlan, TrainingFloor } from '../../simulator/training/training-floor.ts';

export const WALL_AT_START_MS = Date.parse('2026-05-04T06:00:00.000Z');
const STEP_MS = 100;

export class LessonBench {
  readonly control: LessonControl;
  readonly events: { readonly rig: string; readonly event: LessonRigEvent }[] = [];
  readonly plans: FloorPlan[] = [];
  readonly bytes = new Map<string, number>();
  /** Text of everything a rig's device has sent. */
  readonly sent = new Map<string, string>();
  /** What `missing` says. */
  unheard: string | null = null;
  endings = 0;
  private nowMs = 0;
  private tasks: (() => void)[] = [];

  constructor(lessons: readonly LibraryLesson[]) {
    const clock: TrainingClock = {
      wallMs: () => WALL_AT_START_MS + this.nowMs,
      monotonicMs: () => this.nowMs,
      every: (_ms, task) => {
        this.tasks.push(task);
        return () => {
          this.tasks = this.tasks.filter(one => one !== task);
        };
      },
    };
    const floor: TrainingFloor = {
      firstJoint: async (_prefix, first) => first,
      prepare: async plan => void this.plans.push(plan),
      outputOf: rig => ({
        url: 'memory',
        lostBytes: 0,
        start: async () => undefined,
        stop: async () => undefined,
        write: bytes => {
          this.bytes.set(rig, (this.bytes.get(rig) ?? 0) + bytes.length);
          this.sent.set(rig, (this.sent.get(rig) ?? '') + Buffer.from(bytes).toString('latin1'));
        },
      }),
      greetWith: () => undefined,
      missing: async () => this.unheard,
      onEvent: (rig, event) => void this.events.push({ rig: rig.settings.id, event }),
      lessonEnded: () => void this.endings++,
    };
    this.control = new LessonControl({ lessons, clock, floor });
  }

  /** Lets the wall clock go on by so much, in steps of 0.1 s. */
  async pass(seconds: number): Promise<void> {
    for (let ms = 0; ms < seconds * 1000; ms += STEP_MS) {
      this.nowMs += STEP_MS;
      for (const task of this.tasks) task();
      await new Promise(resolve => setImmediate(resolve));
    }
  }

  /** Goes on until `condition`, at most `seconds`. */
  async until(condition: () => boolean, seconds: number): Promise<void> {
    for (let s = 0; s < seconds && !condition(); s += STEP_MS / 1000) await this.pass(STEP_MS / 1000);
    if (!condition()) throw new Error(`not within ${seconds} s of the lesson`);
  }

  get wallMs(): number {
    return WALL_AT_START_MS + this.nowMs;
  }
}

export const shipped = (): Promise<LibraryLesson[]> => readLessons([shippedLessons()]);
