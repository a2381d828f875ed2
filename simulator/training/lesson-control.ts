import { CHANNEL_NAMES, type Channel, isChannel } from '#core/sample/channels';
import type {
  ControlState,
  Injection,
  LessonList,
  OpenLesson,
  SetSpeed,
  Truth,
} from '#core/training/control';
import type { LessonWindow } from '#core/training/lesson';
import { FAULT_KINDS, type Fault, type FaultKind } from '../faults/fault.ts';
import type { Scenario } from '../scenario/scenario.ts';
import { passesOf } from '../scenario/scenario-passes.ts';
import { CONTROL_IDLE, type ControlInput, type ControlMachine, stepControl } from './control-machine.ts';
import { ControlRefusal } from './control-refusal.ts';
import type { ControlDesk } from './control-server.ts';
import type { LibraryLesson } from './lesson-library.ts';
import type { LessonRig } from './lesson-rig.ts';
import { lessonRigs } from './lesson-rigs.ts';
import { LessonRun } from './lesson-run.ts';
import { lessonHead, lessonWindows, scenarioOfLesson } from './lesson-scenario.ts';
import type { TrainingClock } from './training-clock.ts';
import type { TrainingFloor } from './training-floor.ts';
import { TruthBook } from './truth-book.ts';

export interface LessonControlOptions {
  readonly lessons: readonly LibraryLesson[];
  readonly clock: TrainingClock;
  readonly floor: TrainingFloor;
}

interface OpenedLesson {
  readonly of: LibraryLesson;
  readonly seed: number;
  readonly scenario: Scenario;
  readonly rigs: readonly LessonRig[];
  readonly truth: TruthBook;
  readonly run: LessonRun;
}

const STATE_WORDS: Record<ControlState['state'], string> = {
  idle: 'no lesson is open',
  ready: 'the lesson has not begun',
  running: 'a lesson runs',
  frozen: 'the lesson is frozen',
  ended: 'the lesson has ended',
};

/** What the control interface does: one lesson at a time, opened, run, frozen, tampered with, ended. */
export class LessonControl implements ControlDesk {
  private readonly options: LessonControlOptions;
  private machine: ControlMachine = CONTROL_IDLE;
  private opened: OpenedLesson | null = null;
  private boot = 0;

  constructor(options: LessonControlOptions) {
    this.options = options;
  }

  lessons(): LessonList {
    return { lessons: this.options.lessons.map(({ lesson }) => lessonHead(lesson)) };
  }

  state(): ControlState {
    const { machine, opened } = this;
    return {
      lesson: opened === null ? null : lessonHead(opened.of.lesson),
      seed: opened?.seed ?? null,
      ...machine,
      simulatedS: Math.round((opened?.run.simulatedS ?? 0) * 1000) / 1000,
      rigs: (opened?.rigs ?? []).map(({ settings, place, arc }) => ({
        rig: settings.id,
        side: settings.side,
        joint: place?.joint ?? null,
        pass: place?.pass ?? null,
        alongMm: place === null ? null : Math.round(place.alongMm * 100) / 100,
        arc,
      })),
    };
  }

  truth(): Truth {
    return this.opened?.truth.truth() ?? { windows: [] };
  }

  async open({ lesson: id, seed: asked }: OpenLesson): Promise<void> {
    const found = this.options.lessons.find(({ lesson }) => lesson.id === id);
    if (!found) throw new ControlRefusal(404, 'lessonUnknown', `There is no lesson "${id}".`);
    const next = this.after({ type: 'open' });
    const { floor, clock } = this.options;
    const { lesson } = found;
    const seed = asked ?? lesson.seed;
    const scenario = scenarioOfLesson(
      lesson,
      await floor.firstJoint(lesson.joints.prefix, lesson.joints.first),
    );
    const rigs = await lessonRigs(found, scenario, seed);
    const replay = lesson.recording.length > 0;
    this.opened?.run.stop();
    await floor.prepare({
      rigs: rigs.map(({ settings }) => settings),
      replay,
      afterHurry: this.machine.hurried,
    });
    const truth = new TruthBook(lessonWindows(lesson, scenario));
    this.boot++;
    const run: LessonRun = new LessonRun({
      rigs,
      truth,
      clock,
      boot: this.boot,
      outputOf: rig => floor.outputOf(rig),
      onEvent: (rig, event) => floor.onEvent(rig, event),
      onOver: () => this.over(run),
    });
    floor.greetWith(rig => run.greetingOf(rig));
    this.opened = { of: found, seed, scenario, rigs, truth, run };
    this.machine = next;
  }

  async start({ speed }: SetSpeed): Promise<void> {
    const next = this.after({ type: 'start', speed });
    await this.heard();
    this.openedNow().run.goOn(speed);
    this.machine = next;
  }

  async freeze(): Promise<void> {
    this.machine = this.after({ type: 'freeze' });
    this.openedNow().run.freeze();
  }

  async resume(): Promise<void> {
    const next = this.after({ type: 'resume' });
    await this.heard();
    this.openedNow().run.goOn(next.speed);
    this.machine = next;
  }

  async speed({ speed }: SetSpeed): Promise<void> {
    this.machine = this.after({ type: 'speed', speed });
    if (this.machine.state === 'running') this.openedNow().run.setSpeed(speed);
  }

  async inject(injection: Injection): Promise<void> {
    this.machine = this.after({ type: 'inject' });
    const { rigs, scenario, truth } = this.openedNow();
    const rig = rigs.find(({ settings }) => settings.id === injection.rig);
    if (!rig) {
      const names = rigs.map(({ settings }) => settings.id).join(', ');
      throw new ControlRefusal(404, 'rigUnknown', `There is no rig "${injection.rig}": ${names}.`);
    }
    const kind = injectable(injection.fault);
    if (rig.inject === null) {
      throw new ControlRefusal(
        422,
        'notAcceptable',
        'A recorded joint is played as it was: nothing can be put in.',
      );
    }
    const { place } = rig;
    if (place === null) {
      throw new ControlRefusal(
        409,
        'noPassRunning',
        `${injection.rig} welds nothing now: wait for its next pass.`,
      );
    }
    const fromMm = Math.round(place.alongMm * 100) / 100;
    const fault = faultOf(
      kind,
      injection,
      fromMm,
      passesOf(scenario).map(({ name }) => name),
    );
    rig.inject(fault);
    truth.add(windowOf(injection, fault, rig, place, truth.size + 1));
  }

  async end(): Promise<void> {
    const next = this.after({ type: 'end' });
    const { run } = this.openedNow();
    run.breakOff();
    this.machine = next;
    this.close();
  }

  /** Everything stops: the program ends. */
  stop(): void {
    this.opened?.run.stop();
  }

  private over(run: LessonRun): void {
    if (this.opened?.run !== run) return;
    this.machine = stepControl(this.machine, { type: 'over' }) ?? this.machine;
    this.close();
  }

  private close(): void {
    const { clock, floor } = this.options;
    this.opened?.truth.close(clock.wallMs());
    floor.lessonEnded();
  }

  /** Throws ControlRefusal while nobody would hear the rigs. */
  private async heard(): Promise<void> {
    const missing = await this.options.floor.missing();
    if (missing !== null) throw new ControlRefusal(409, 'notReady', missing);
  }

  private after(input: ControlInput): ControlMachine {
    const next = stepControl(this.machine, input);
    if (next !== null) return next;
    const { state } = this.machine;
    throw new ControlRefusal(409, 'wrongState', `"${input.type}" does not fit: ${STATE_WORDS[state]}.`);
  }

  private openedNow(): OpenedLesson {
    if (this.opened === null) throw new ControlRefusal(409, 'wrongState', 'No lesson is open.');
    return this.opened;
  }
}

function injectable(name: string): FaultKind {
  const kind = FAULT_KINDS.find(known => known === name);
  if (kind === undefined) {
    throw new ControlRefusal(422, 'notAcceptable', `There is no fault "${name}": ${FAULT_KINDS.join(', ')}.`);
  }
  if (kind === 'lateStart') {
    throw new ControlRefusal(
      422,
      'notAcceptable',
      'A late start belongs to the timetable: a lesson plans it.',
    );
  }
  return kind;
}

function faultOf(kind: FaultKind, asked: Injection, fromMm: number, passes: readonly string[]): Fault {
  const refuse = (sentence: string) => new ControlRefusal(422, 'notAcceptable', sentence);
  const { size, rampMm, lengthMm, otherPass, channel } = asked;
  if (kind === 'stopRestart' && size < 0) throw refuse('size is a time in s and cannot be negative.');
  if (kind === 'wrongPass' && !(otherPass !== undefined && passes.includes(otherPass))) {
    throw refuse(`wrongPass needs otherPass, one of ${passes.join(', ')}.`);
  }
  if (kind === 'sensorDrift' && !(channel !== undefined && isChannel(channel))) {
    throw refuse(`sensorDrift needs channel, one of ${CHANNEL_NAMES.join(', ')}.`);
  }
  return {
    kind,
    size,
    fromMm,
    toMm: lengthMm === null ? null : fromMm + lengthMm,
    rampMm,
    otherPass: kind === 'wrongPass' ? (otherPass ?? null) : null,
    channel: kind === 'sensorDrift' ? ((channel as Channel | undefined) ?? null) : null,
  };
}

function windowOf(
  asked: Injection,
  fault: Fault,
  rig: LessonRig,
  at: { readonly joint: string; readonly pass: string },
  number: number,
): LessonWindow {
  return {
    id: `injected-${number}`,
    kind: 'signal',
    fault: fault.kind,
    size: fault.size,
    rig: rig.settings.id,
    side: rig.settings.side,
    joint: at.joint,
    pass: at.pass,
    fromMm: fault.fromMm,
    toMm: fault.kind === 'stopRestart' ? fault.fromMm : fault.toMm,
    rampMm: fault.rampMm,
    channels: asked.channels ?? [],
    actions: asked.actions ?? [],
    injected: true,
  };
}
