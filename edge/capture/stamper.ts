/**
 * Gives what happens its identity: event and pass numbers that go on across restarts, UTC by the clock map.
 * The numbers are saved with every batch, in the same transaction: none is ever given out twice.
 */
import { z } from 'zod';
import type { Origin, Reason } from '#core/messages/common';
import type { EVENT_TYPES, RigEvent } from '#core/messages/event';
import { type PassMessage, passMessageSchema } from '#core/messages/pass';
import type { EngineEffect, EngineResume } from '#core/pass/engine-api';
import type { RigAddress } from '#core/topics/topics';
import type { RecordClock } from '../clock/record-clock.ts';
import type { StatePatch } from '../outbox/outbox-types.ts';

const NEXT_EVENT = 'nextEvent';
const LAST_PASS = 'lastPass';
const OPEN_PASS = 'openPass';
const FIRST_OF_WORK = 'firstPassOfWork';
const GROWING = 'growingPass';
const TEXT_MAX = 300;
const WORD_MAX = 200;

const firstOfWorkSchema = z.strictObject({
  index: z.int().positive(),
  assignmentId: z.string(),
  endPositionMm: z.number().nullable(),
  travelMmPerS: z.number(),
  endUs: z.number(),
});
type FirstOfWork = z.infer<typeof firstOfWorkSchema>;

/** A pass that has begun and not been closed: from where its samples are, and what stood before it. */
const growingSchema = z.strictObject({
  index: z.int().positive(),
  fromUs: z.number(),
  lastPass: z.int().nonnegative(),
  firstOfWork: firstOfWorkSchema.nullable(),
});
type Growing = z.infer<typeof growingSchema>;
/** The engine needs the samples of a start dwell, and some before it, to find the arc again, µs. */
const BEFORE_ARC_US = 2_000_000;

export interface StamperOptions {
  readonly address: RigAddress;
  readonly origin: Origin;
  readonly stream: string;
  readonly clock: RecordClock;
  /** State of the store as opened. */
  readonly state: Readonly<Record<string, string>>;
}

export interface ShellEvent {
  readonly type: (typeof EVENT_TYPES)[number];
  readonly text: string;
  readonly data: RigEvent['data'];
}

type PassEffect = Extract<EngineEffect, { kind: 'pass' }>;
type EventEffect = Extract<EngineEffect, { kind: 'event' }>;

export class Stamper {
  private readonly options: StamperOptions;
  private nextEvent: number;
  private lastPass: number;
  private openPass: PassMessage | null;
  /** The first pass of the assignment that was welded last: work that goes on later names it. */
  private firstOfWork: FirstOfWork | null;
  private growing: Growing | null;

  constructor(options: StamperOptions) {
    this.options = options;
    this.nextEvent = Number(options.state[NEXT_EVENT] ?? 1);
    this.lastPass = Number(options.state[LAST_PASS] ?? 0);
    this.openPass = readOr(options.state[OPEN_PASS], json => passMessageSchema.parse(json));
    this.firstOfWork = readOr(options.state[FIRST_OF_WORK], json => firstOfWorkSchema.parse(json));
    this.growing = readOr(options.state[GROWING], json => growingSchema.parse(json));
  }

  /** Where an engine that starts now goes on; before a pass that was growing, since it is fed that pass again. */
  engineResume(): EngineResume {
    const { growing } = this;
    return {
      lastPassIndex: growing ? growing.lastPass : this.lastPass,
      openPass: growing ? growing.firstOfWork : this.firstOfWork,
    };
  }

  /** Record time from which the samples of a pass that was growing must be fed again; null where none was. */
  get growingFromUs(): number | null {
    return this.growing?.fromUs ?? null;
  }

  event(effect: EventEffect): RigEvent {
    const { type, passIndex } = effect;
    if (type === 'arcStart' && passIndex !== null && this.growing?.index !== passIndex) {
      const { lastPass, firstOfWork } = this;
      this.growing = { index: passIndex, fromUs: effect.tUs - BEFORE_ARC_US, lastPass, firstOfWork };
    }
    return this.makeEvent(effect, effect.tUs, effect.passIndex);
  }

  /** Something the edge itself has to tell, now or at `tUs`. */
  shellEvent(event: ShellEvent, tUs: number = this.options.clock.nowUs()): RigEvent {
    return this.makeEvent(event, tUs, null);
  }

  pass(effect: PassEffect): PassMessage {
    const { address, origin, stream, clock } = this.options;
    const { assignment } = effect;
    const { index } = effect.pass;
    const message: PassMessage = {
      origin,
      site: address.site,
      rig: address.rig,
      stream,
      passId: `${stream}:p${index}`,
      state: effect.state,
      joint: assignment?.joint ?? null,
      side: assignment?.side ?? null,
      assignmentId: assignment?.id ?? null,
      procedureId: assignment?.procedureId ?? null,
      procedureRevision: assignment?.procedureRevision ?? null,
      startUs: effect.startUs,
      endUs: effect.endUs,
      startUtc: clock.utcOf(effect.startUs),
      endUtc: clock.utcOf(effect.endUs),
      clock: clock.reading(),
      pass: effect.pass,
      deviations: [...effect.deviations],
    };
    this.lastPass = Math.max(this.lastPass, index);
    this.openPass = message.state === 'open' ? message : null;
    if (message.state === 'closed' && this.growing?.index === index) this.growing = null;
    if (assignment) this.firstOfWork = firstOfWork(effect, assignment.id);
    return message;
  }

  /**
   * The pass that was open when the edge last stopped without closing it, closed as far as it was recorded:
   * the engine that summed it up is gone. Null where there is none.
   */
  orphan(): PassMessage | null {
    const open = this.openPass;
    this.lastPass = Math.max(this.lastPass, this.growing?.index ?? 0);
    this.openPass = null;
    this.growing = null;
    if (!open) return null;
    const reason: Reason = {
      code: 'recorderRestarted',
      fields: ['endS', 'arcTimeS', 'arcEnergyKj', 'runOutLengthMm'],
      text: 'the edge stopped during this pass: the values are those of its last summary, not of its end',
    };
    return { ...open, state: 'closed', pass: { ...open.pass, reasons: [...open.pass.reasons, reason] } };
  }

  /** What must be saved with the batch that carries all this. */
  resumeState(): StatePatch {
    return {
      [NEXT_EVENT]: String(this.nextEvent),
      [LAST_PASS]: String(this.lastPass),
      [OPEN_PASS]: this.openPass ? JSON.stringify(this.openPass) : null,
      [GROWING]: this.growing ? JSON.stringify(this.growing) : null,
      [FIRST_OF_WORK]: this.firstOfWork ? JSON.stringify(this.firstOfWork) : null,
    };
  }

  private makeEvent(event: ShellEvent, tUs: number, passIndex: number | null): RigEvent {
    const { origin, stream, clock } = this.options;
    const data = Object.fromEntries(
      Object.entries(event.data).map(([key, value]) => [
        key,
        typeof value === 'string' ? clip(value, WORD_MAX) : value,
      ]),
    );
    return {
      origin,
      id: `${stream}:${this.nextEvent++}`,
      type: event.type,
      tUs,
      at: clock.utcOf(tUs),
      passIndex,
      text: clip(event.text, TEXT_MAX),
      data,
    };
  }
}

function firstOfWork({ pass, endUs }: PassEffect, assignmentId: string): FirstOfWork {
  const burning = pass.reasons.some(({ code }) => code === 'recordingEnded');
  return {
    index: pass.continues ?? pass.index,
    assignmentId,
    endPositionMm: pass.endPositionMm,
    travelMmPerS: burning ? Math.abs(pass.meanTravelMmS ?? 0) : 0,
    endUs,
  };
}

function clip(text: string, max: number): string {
  return text.length <= max ? text : `${text.slice(0, max - 1)}…`;
}

function readOr<T>(text: string | undefined, parse: (json: unknown) => T): T | null {
  if (text === undefined) return null;
  try {
    return parse(JSON.parse(text));
  } catch {
    // Written by an older layout: nothing to go on with.
    return null;
  }
}
