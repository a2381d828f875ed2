/**
 * The desk of all alarms: conditions in, machine run, states and every step kept, one picture out. What is kept is
 * there again after a restart, with nothing announced anew. Deviations are elsewhere and are never touched here.
 */
import { type AlarmCause, isOfPass, isOfWeld } from '#core/alarm/alarm-cause';
import { type AlarmInput, alarmStep, type Refusal } from '#core/alarm/alarm-machine';
import { type AlarmState, type DesignReason, isActive, isOpen, NEW_ALARM } from '#core/alarm/alarm-state';
import { HOUR_MS } from '#core/alarm/annunciations';
import type { AlarmAbout, AlarmPicture, AlarmPoint } from '#core/messages/api-alarm';
import type { ReportEvent } from '../internal-events.ts';
import { AlarmBook } from './alarm-book.ts';
import { alarmPicture } from './alarm-picture.ts';
import { type AlarmTable, type KeptAlarm, type KeptPoint, pointKey } from './alarm-table.ts';

/** What is true now. `identity` says when two of them are one alarm. */
export interface RaisedCondition {
  readonly identity: string;
  readonly about: AlarmAbout;
  readonly sinceMs: number;
}

export interface AlarmDeskOptions {
  readonly table: AlarmTable;
  readonly now: () => Date;
  readonly report: ReportEvent;
  /** False: of this rig only what it last said is known. */
  readonly isHeard: (site: string, rig: string) => boolean;
  readonly onChange: (picture: AlarmPicture) => void;
}

/** A refused action: nothing was changed. */
export class AlarmRefusal extends Error {
  readonly code: Refusal;
  constructor(code: Refusal) {
    super(code);
    this.code = code;
  }
}

/** An alarm that is normal is forgotten after this long; until then its pass is not announced twice. */
const FORGET_MS = 24 * HOUR_MS;

export class AlarmDesk {
  private readonly options: AlarmDeskOptions;
  private readonly book: AlarmBook;
  private readonly suppressed = new Map<string, DesignReason | null>();
  private told = '';

  constructor(options: AlarmDeskOptions) {
    this.options = options;
    this.book = new AlarmBook(options.table, options.report);
  }

  /** Everything as it was when the dashboard last ran. */
  start(): void {
    this.book.load(this.nowMs());
    for (const { about, state } of this.book.alarms.values()) {
      if (isOfWeld(about.cause)) this.suppressed.set(`${about.site}/${about.rig}`, state.suppressed);
    }
    this.tick();
  }

  /** Conditions that are true now of one source, all of them: those of it that are not named have ended. */
  takeAll(belongs: (identity: string) => boolean, conditions: readonly RaisedCondition[]): void {
    this.change(() => {
      const named = new Set(conditions.map(({ identity }) => identity));
      for (const condition of conditions) this.put(condition);
      for (const { identity, state } of [...this.book.alarms.values()]) {
        if (isActive(state) && belongs(identity) && !named.has(identity)) this.end(identity);
      }
    });
  }

  raise(condition: RaisedCondition): void {
    this.change(() => this.put(condition));
  }

  clear(identity: string): void {
    if (!this.isActive(identity)) return;
    this.change(() => this.end(identity));
  }

  isActive(identity: string): boolean {
    const kept = this.book.alarms.get(identity);
    return kept !== undefined && isActive(kept.state);
  }

  find(identity: string): KeptAlarm | null {
    return this.book.alarms.get(identity) ?? null;
  }

  /** Whether conditions of the weld say something at a rig now. */
  suppress(site: string, rig: string, reason: DesignReason | null): void {
    const key = `${site}/${rig}`;
    if ((this.suppressed.get(key) ?? null) === reason) return;
    this.suppressed.set(key, reason);
    const concerned = [...this.book.alarms.values()].filter(
      ({ about }) => about.site === site && about.rig === rig && isOfWeld(about.cause),
    );
    if (concerned.length === 0) return;
    this.change(() => {
      for (const kept of concerned) this.step(kept, { type: 'suppress', reason, atMs: this.nowMs() });
    });
  }

  /** Acknowledges or resets. Throws AlarmRefusal where that is possible for none of them. */
  answer(type: 'acknowledge' | 'reset', numbers: readonly number[], by: string, reason: string | null): void {
    this.change(() => {
      const byNumber = new Map([...this.book.alarms.values()].map(kept => [kept.alarm, kept]));
      const refused: Refusal[] = numbers
        .map(number => {
          const kept = byNumber.get(number);
          if (!kept) return 'alarmGone';
          return this.step(kept, { type, atMs: this.nowMs(), by, reason });
        })
        .filter(code => code !== null);
      if (refused.length === numbers.length) throw new AlarmRefusal(refused[0]!);
    });
  }

  shelve(point: AlarmPoint, by: string, reason: string, minutes: number): void {
    const atMs = this.nowMs();
    const shelf = { by, reason, atMs, untilMs: atMs + minutes * 60_000 };
    this.putAway(point, { shelf }, { type: 'shelve', shelf });
  }

  unshelve(point: AlarmPoint, by: string, reason: string | null): void {
    if (!this.book.points.get(pointKey(point))?.shelf) throw new AlarmRefusal('notShelved');
    this.putAway(point, { shelf: null }, { type: 'unshelve', atMs: this.nowMs(), by, reason });
  }

  removeFromService(point: AlarmPoint, by: string, reason: string): void {
    const outOfService = { by, reason, atMs: this.nowMs() };
    this.putAway(point, { outOfService }, { type: 'removeFromService', outOfService });
  }

  returnToService(point: AlarmPoint, by: string, reason: string): void {
    if (!this.book.points.get(pointKey(point))?.outOfService) throw new AlarmRefusal('notOutOfService');
    this.putAway(point, { outOfService: null }, { type: 'returnToService', atMs: this.nowMs(), by, reason });
  }

  /** Shelves that end, the budget as time passes, what is forgotten. */
  tick(): void {
    const nowMs = this.nowMs();
    for (const { point, shelf } of [...this.book.points.values()]) {
      if (shelf && shelf.untilMs <= nowMs)
        this.putAway(point, { shelf: null }, { type: 'time', atMs: nowMs });
    }
    this.change(() => {
      for (const kept of [...this.book.alarms.values()]) {
        const { lifecycle, clearedMs, shelf, outOfService } = kept.state;
        const isOld = lifecycle === 'normal' && (clearedMs ?? 0) < nowMs - FORGET_MS;
        if (!isOld || shelf || outOfService) continue;
        this.book.forget(kept);
      }
    });
  }

  picture(): AlarmPicture {
    const nowMs = this.nowMs();
    const { newest, announced } = this.book;
    return alarmPicture({
      nowMs,
      newest,
      alarms: [...this.book.alarms.values()].filter(({ state }) => isOpen(state)),
      points: [...this.book.points.values()],
      announced: announced.filter(({ atMs }) => atMs > nowMs - HOUR_MS),
      isHeard: this.options.isHeard,
    });
  }

  private nowMs(): number {
    return this.options.now().getTime();
  }

  private put({ identity, about, sinceMs }: RaisedCondition): void {
    const { priority, cause } = about;
    const known = this.book.alarms.get(identity) ?? this.create(identity, about);
    const isGrowing =
      isActive(known.state) && about.quantities.some(one => !known.about.quantities.includes(one));
    const renewed = { ...known, about };
    if (JSON.stringify(known.about) !== JSON.stringify(about)) this.book.keep(renewed);
    this.step(renewed, { type: 'raise', atMs: sinceMs, priority, again: isGrowing && isOfPass(cause) });
  }

  private create(identity: string, about: AlarmAbout): KeptAlarm {
    const { cause, priority, site, rig } = about;
    const point = this.book.points.get(pointKey(about));
    const state: AlarmState = {
      ...NEW_ALARM,
      priority,
      ofPass: isOfPass(cause),
      shelf: point?.shelf ?? null,
      outOfService: point?.outOfService ?? null,
      suppressed: isOfWeld(cause) ? (this.suppressed.get(`${site}/${rig}`) ?? null) : null,
    };
    return this.book.create(identity, about, state);
  }

  private end(identity: string): void {
    const kept = this.book.alarms.get(identity);
    if (kept) this.step(kept, { type: 'clear', atMs: this.nowMs() });
  }

  private putAway(point: AlarmPoint, change: Partial<KeptPoint>, input: AlarmInput): void {
    const key = pointKey(point);
    const concerned = [...this.book.alarms.values()].filter(({ about }) => pointKey(about) === key);
    this.change(() => {
      const before = this.book.points.get(key) ?? { point: pointOf(point), shelf: null, outOfService: null };
      this.book.keepPoint({ ...before, ...change });
      // Logged once, for the point: it stands for every alarm of it.
      const { effects } = alarmStep(
        {
          ...NEW_ALARM,
          priority: 'low',
          ofPass: false,
          shelf: before.shelf,
          outOfService: before.outOfService,
        },
        input,
      );
      this.book.log(effects, this.nowMs(), null, point, null);
      for (const kept of concerned) this.step(kept, input, false);
    });
  }

  /** Runs the machine; says why it refused, null where it did not. */
  private step(kept: KeptAlarm, input: AlarmInput, logs = true): Refusal | null {
    const { state, effects } = alarmStep(kept.state, input);
    const nowMs = this.nowMs();
    if (logs) this.book.log(effects, nowMs, kept.alarm, kept.about, kept.about);
    const announces = effects.some(({ type }) => type === 'announce');
    const announcement = announces ? this.book.announce(kept, nowMs) : kept.announcement;
    if (state !== kept.state || announces) this.book.keep({ ...kept, state, announcement });
    return effects.find(effect => effect.type === 'refuse')?.code ?? null;
  }

  /** One change is one transaction and one picture. */
  private change(work: () => void): void {
    this.book.together(work);
    const picture = this.picture();
    const { serverUtc: _, ...content } = picture;
    const text = JSON.stringify(content);
    if (text === this.told) return;
    this.told = text;
    this.options.onChange(picture);
  }
}

const pointOf = ({
  site,
  rig,
  cause,
}: AlarmPoint): { site: string | null; rig: string | null; cause: AlarmCause } => {
  return { site, rig, cause };
};
