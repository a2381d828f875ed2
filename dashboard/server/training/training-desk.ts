/**
 * Sessions of training: one lesson at a time, opened, steered and ended through the simulator's control, kept at every
 * step. What the trainee does is stamped here, by this machine's clock, which is the simulator's too.
 */
import type { NewMark, NewSession, Training, TrainingChange } from '#core/messages/api-training';
import type { ControlState, Injection, Truth } from '#core/training/control';
import { hintAt } from '#core/training/hints';
import type { TrainingSession } from '#core/training/session';
import { ApiProblem } from '../api/problem.ts';
import { type Control, ControlAway } from './control-client.ts';
import { requireRated, withMark, withNote, withRating } from './session-entries.ts';
import { requireState } from './session-steps.ts';
import type { TrainingStore } from './training-store.ts';

export interface TrainingDeskOptions {
  readonly store: TrainingStore;
  readonly control: Control;
  readonly now: () => Date;
  readonly newId: () => string;
  /** Where a rig was `agoMs` before now along its side, mm, as far as that is known here. */
  readonly alongMm: (rig: string, agoMs: number) => number | null;
  readonly onChange: (change: TrainingChange) => void;
}

type Speed = ControlState['speed'];

export class TrainingDesk {
  private readonly options: TrainingDeskOptions;
  /** Steering one thing after the other; marks go in between. */
  private turn: Promise<unknown> = Promise.resolve();
  private hintTold = 'null';

  constructor(options: TrainingDeskOptions) {
    this.options = options;
  }

  /** Never throws: a simulator that is away is told in words. */
  async overview(): Promise<Training> {
    const { control } = this.options;
    const open = this.options.store.current();
    const session = open && { id: open.id, mode: open.mode, state: open.state };
    try {
      const [lessons, state] = await Promise.all([control.lessons(), control.state()]);
      return { mode: 'training', lessons, control: state, controlProblem: null, session };
    } catch (error) {
      if (!(error instanceof ApiProblem)) throw error;
      return { mode: 'training', lessons: [], control: null, controlProblem: error.message, session };
    }
  }

  sessions = (): TrainingSession[] => this.options.store.sessions();

  find(id: string): TrainingSession {
    const session = this.options.store.session(id);
    if (session) return session;
    throw new ApiProblem(404, 'sessionUnknown', 'There is no such training session here, or no longer.');
  }

  add({ lesson, seed, ...who }: NewSession): Promise<TrainingSession> {
    return this.inTurn(async () => {
      const open = this.options.store.current();
      if (open) {
        throw new ApiProblem(
          409,
          'sessionOpen',
          `The session of ${open.trainee} has not ended: end it first, then open another.`,
        );
      }
      const state = await this.options.control.open({ lesson, seed });
      if (state.lesson === null || state.seed === null) {
        throw new ControlAway('The simulator opened no lesson: see its log.');
      }
      return this.keep({
        id: this.options.newId(),
        ...who,
        lesson: state.lesson,
        seed: state.seed,
        state: 'ready',
        rigs: rigsOf(state),
        createdAt: this.stamp(),
        startedAt: null,
        endedAt: null,
        pauses: [],
        hurried: false,
        truthGap: null,
        marks: [],
        notes: [],
        selfRating: null,
        keep: [],
        change: [],
        truth: [],
        score: null,
      });
    });
  }

  start = (id: string, speed: Speed) =>
    this.steer(
      id,
      'start',
      control => control.start(speed),
      session => ({
        ...session,
        state: 'running',
        startedAt: this.stamp(),
      }),
    );

  freeze = (id: string) =>
    this.steer(
      id,
      'freeze',
      control => control.freeze(),
      session => ({
        ...session,
        state: 'frozen',
        pauses: [...session.pauses, { from: this.stamp(), to: null }],
      }),
    );

  resume = (id: string) =>
    this.steer(
      id,
      'resume',
      control => control.resume(),
      session => ({
        ...session,
        state: 'running',
        pauses: closed(session.pauses, this.stamp()),
      }),
    );

  speed = (id: string, speed: Speed) => this.steer(id, 'speed', control => control.speed(speed), same);

  inject = (id: string, injection: Injection) =>
    this.steer(id, 'inject', control => control.inject(injection), same);

  /** `anyway`: also where the simulator does not answer. */
  end(id: string, anyway: boolean): Promise<TrainingSession> {
    return this.inTurn(async () => {
      const { control } = this.options;
      requireState(this.find(id), 'end');
      try {
        const state = await control.end();
        return this.finish(id, state, await control.truth());
      } catch (error) {
        if (!anyway || !(error instanceof ApiProblem)) throw error;
        return this.finish(id, null, null, `The simulator could not be asked at the end: ${error.message}`);
      }
    });
  }

  mark(id: string, mark: NewMark): TrainingSession {
    const { now, newId, alongMm } = this.options;
    return this.keep(withMark(this.find(id), mark, { now: now(), id: newId(), alongMm }));
  }

  note = (id: string, text: string): TrainingSession =>
    this.keep(withNote(this.find(id), this.stamp(), text));

  /** `scoreOf` is asked once: what is shown after the rating is what is kept. */
  rate(
    id: string,
    selfRating: number,
    scoreOf: (session: TrainingSession) => TrainingSession['score'],
  ): TrainingSession {
    const session = withRating(this.find(id), selfRating);
    return this.keep({ ...session, score: scoreOf(session) });
  }

  /** Of a session that may be debriefed; throws ApiProblem. */
  rated = (id: string): TrainingSession => requireRated(this.find(id));

  writePoints = (id: string, keep: string[], change: string[]): TrainingSession =>
    this.keep({ ...this.rated(id), keep, change });

  delete(id: string): void {
    const session = this.find(id);
    requireState(session, 'delete');
    this.options.store.remove(id);
    this.options.onChange({ id, state: 'deleted', mode: session.mode });
  }

  /** Each second while a lesson runs: what has become true, whether it has ended, whether there is a hint to give. */
  tick(): Promise<void> {
    if (!this.isUnderWay(this.options.store.current())) return Promise.resolve();
    return this.inTurn(async () => {
      const before = this.options.store.current();
      if (!before || !this.isUnderWay(before)) return;
      const { control } = this.options;
      let state: ControlState;
      let truth: Truth;
      try {
        state = await control.state();
        if (state.lesson?.id !== before.lesson.id || state.seed !== before.seed || state.state === 'ready') {
          this.finish(before.id, null, null, 'The simulator began anew while the lesson ran.');
          return;
        }
        truth = await control.truth();
      } catch (error) {
        // Away for now: the next tick asks again, and the trainer may end it anyway.
        if (error instanceof ApiProblem) return;
        throw error;
      }
      if (state.state === 'ended') {
        this.finish(before.id, state, truth);
        return;
      }
      this.learn(before.id, state, truth);
    });
  }

  hint(session: TrainingSession) {
    return this.isUnderWay(session) ? hintAt(this.stamp(), session) : null;
  }

  private learn(id: string, state: ControlState, truth: Truth): void {
    const session = this.find(id);
    const learned = { ...session, ...learnedOf(session, state), truth: truth.windows };
    const hint = JSON.stringify(this.hint(learned));
    if (JSON.stringify(learned) !== JSON.stringify(session)) this.options.store.save(learned);
    if (hint === this.hintTold) return;
    this.hintTold = hint;
    this.tell(learned);
  }

  private finish(
    id: string,
    state: ControlState | null,
    truth: Truth | null,
    truthGap: string | null = null,
  ): TrainingSession {
    const session = this.find(id);
    const endedAt = this.stamp();
    return this.keep({
      ...session,
      ...(state ? learnedOf(session, state) : {}),
      truth: truth?.windows ?? session.truth,
      truthGap,
      state: 'ended',
      endedAt,
      pauses: closed(session.pauses, endedAt),
    });
  }

  private steer(
    id: string,
    step: 'start' | 'freeze' | 'resume' | 'speed' | 'inject',
    ask: (control: Control) => Promise<ControlState>,
    after: (session: TrainingSession) => TrainingSession,
  ): Promise<TrainingSession> {
    return this.inTurn(async () => {
      requireState(this.find(id), step);
      const state = await ask(this.options.control);
      // Read again: a mark may have come while the simulator was asked.
      const session = this.find(id);
      return this.keep({ ...after(session), ...learnedOf(session, state) });
    });
  }

  private inTurn<T>(work: () => Promise<T>): Promise<T> {
    const mine = this.turn.then(work);
    this.turn = mine.catch(() => {});
    return mine;
  }

  private keep(session: TrainingSession): TrainingSession {
    this.options.store.save(session);
    this.tell(session);
    return session;
  }

  private tell({ id, state, mode }: TrainingSession): void {
    this.options.onChange({ id, state, mode });
  }

  private isUnderWay(session: TrainingSession | null): boolean {
    return session?.state === 'running' || session?.state === 'frozen';
  }

  private stamp(): string {
    return this.options.now().toISOString();
  }
}

const same = (session: TrainingSession): TrainingSession => session;

const closed = (pauses: TrainingSession['pauses'], to: string): TrainingSession['pauses'] =>
  pauses.map(pause => (pause.to === null ? { ...pause, to } : pause));

const rigsOf = ({ rigs }: ControlState): TrainingSession['rigs'] =>
  rigs.map(({ rig, side }) => ({ rig, side }));

const learnedOf = (
  session: TrainingSession,
  state: ControlState,
): Pick<TrainingSession, 'hurried' | 'rigs'> => ({
  hurried: session.hurried || state.hurried || state.speed !== 1,
  rigs: state.rigs.length > 0 ? rigsOf(state) : session.rigs,
});
