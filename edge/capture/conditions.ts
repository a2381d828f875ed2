/** What someone should act on now, as a pure function of the state; acknowledging lives in the dashboard. */
import type { Alarms } from '#core/messages/alarms';
import type { Assignment } from '#core/messages/assignment';
import type { Drifting } from '#core/messages/drift';
import type { Live, OutOfRange, PassMismatch, SourceState } from '#core/messages/live';
import { circumferentialPosition } from '#core/position/circumferential-position';
import type { Quarantine } from '../outbox/outbox-types.ts';
import type { StorageState } from '../outbox/storage-watch.ts';
import { driftCondition } from './drift-condition.ts';
import type { RecordingState } from './recorder.ts';
import { storageConditions } from './storage-conditions.ts';

export type Condition = Alarms['conditions'][number];

/** A watermark that stands still this long with batches waiting is worth a look at the link. */
const BUFFERING_MS = 10_000;
const NO_DATA_WITH_ARC_MS = 2000;

export interface ConditionInput {
  readonly nowUs: number;
  readonly assignment: Assignment | null;
  /** The running pass, and where its arc is or was last seen. */
  readonly passIndex: number | null;
  readonly position: Live['position'];
  readonly outOfRange: readonly OutOfRange[];
  readonly passMismatch: PassMismatch | null;
  /** Changes along the weld that hold now. */
  readonly drifting: readonly Drifting[];
  /** The arc burned when the last believable sample arrived. */
  readonly arcWasOn: boolean;
  /** Since the last sample arrived, ms; null before the first. */
  readonly silentMs: number | null;
  /** Samples arrive, but the engine cannot tell the arc from them (they are held). */
  readonly held: boolean;
  readonly sourceState: SourceState;
  readonly recording: RecordingState;
  readonly waiting: number;
  readonly stuckMs: number;
  readonly quarantine: Quarantine | null;
  readonly storage?: StorageState | null;
}

/** Keeps since when each condition is true; one object per edge. */
export class Conditions {
  private active = new Map<string, Condition>();

  /** Active conditions, most urgent first. The text of one that goes on stays as it was. */
  update(input: ConditionInput): Condition[] {
    const next = new Map<string, Condition>();
    for (const condition of conditionsOf(input)) {
      const known = this.active.get(condition.key);
      next.set(
        condition.key,
        known?.text === condition.text
          ? known
          : { ...condition, sinceUs: known?.sinceUs ?? condition.sinceUs },
      );
    }
    this.active = next;
    const order = { high: 0, medium: 1, low: 2 } as const;
    return [...next.values()].sort((a, b) => order[a.priority] - order[b.priority]);
  }
}

function conditionsOf(input: ConditionInput): Condition[] {
  const found: Condition[] = [];
  const work = input.assignment?.work ?? null;
  const place = work ? `${work.side}:${work.pass}` : '-:-';
  const where = work ? `joint ${work.joint}, side ${work.side}, ${work.pass}` : 'no joint assigned';
  const ofPass = {
    work: work && { joint: work.joint, side: work.side, pass: work.pass },
    passIndex: input.passIndex,
  };
  const { position } = input;
  const lastSeen = position && { alongMm: position.alongMm, clock: position.clock };

  if (input.arcWasOn && input.sourceState !== 'ended') {
    const silent = (input.silentMs ?? 0) > NO_DATA_WITH_ARC_MS;
    if (silent || input.held) {
      found.push({
        key: `${place}:noDataWithArc`.slice(0, 120),
        cause: 'noDataWithArc',
        quantity: null,
        ...ofPass,
        place: lastSeen,
        priority: 'high',
        sinceUs: input.nowUs - Math.round((silent ? (input.silentMs ?? 0) : 0) * 1000),
        text: silent
          ? `The arc was on and no data arrives (${where}).`
          : `The arc was on and the readings no longer change (${where}).`,
        action: 'Check the sensor box, its supply and its cable. What is welded meanwhile is not recorded.',
      });
    }
  }
  if (input.recording === 'failed') {
    found.push({
      key: 'recordingFailed',
      cause: 'recordingFailed',
      quantity: null,
      priority: 'high',
      sinceUs: input.nowUs,
      text: 'Recording has failed: the store of this edge takes no data.',
      action: 'Free disk space or change the storage of the edge. Note the joint by hand meanwhile.',
    });
  }
  if (input.passMismatch) {
    found.push({
      key: `${place}:passMismatch`.slice(0, 120),
      cause: 'passMismatch',
      quantity: null,
      ...ofPass,
      place: lastSeen,
      priority: 'medium',
      sinceUs: input.passMismatch.sinceUs,
      text: `${input.passMismatch.text.replace(/\.$/, '')} (${where}).`.slice(0, 300),
      action: 'Compare the program selected on the rig with the pass assigned; tell the welding inspector.',
    });
  }
  const out = [...input.outOfRange].sort((a, b) => a.sinceUs - b.sinceUs);
  const [first] = out;
  if (first) {
    found.push({
      key: `${place}:outOfRange`.slice(0, 120),
      cause: 'outOfRange',
      quantity: first.quantity,
      quantities: out.map(({ quantity }) => quantity),
      ...ofPass,
      place: placeAt(input.assignment, first.sincePositionMm),
      priority: 'medium',
      sinceUs: first.sinceUs,
      text: `${outText(out)} (${where}).`.slice(0, 300),
      action: 'Check the setting against the welding procedure; tell the welding inspector.',
    });
  }
  const drift = driftCondition(input.drifting, {
    key: `${place}:drifting`,
    where,
    ...ofPass,
    placeAt: alongMm => placeAt(input.assignment, alongMm),
  });
  if (drift) found.push(drift);
  if (input.recording === 'lagging') {
    found.push({
      key: 'storage:lag',
      cause: 'storage',
      quantity: null,
      priority: 'medium',
      sinceUs: input.nowUs,
      text: 'The store of this edge is slow: the newest seconds are only in memory.',
      action: 'Do not switch the edge off now; have its storage checked.',
    });
  }
  if (input.quarantine) {
    found.push({
      key: 'storage:quarantine',
      cause: 'storage',
      quantity: null,
      priority: 'medium',
      sinceUs: input.nowUs,
      text: `The store was damaged and moved aside; a new one is in use. ${input.quarantine.reason}`.slice(
        0,
        300,
      ),
      action: `Keep the file for the data manager: ${input.quarantine.movedTo}`.slice(0, 200),
    });
  }
  found.push(...storageConditions(input.storage ?? null, input.nowUs));
  if (input.stuckMs > BUFFERING_MS) {
    found.push({
      key: 'buffering',
      cause: 'buffering',
      quantity: null,
      priority: 'low',
      sinceUs: input.nowUs - Math.round(input.stuckMs * 1000),
      text: 'Data is kept on the edge and waits to be taken over.',
      action: 'Nothing is lost. Check the link to the truck this shift.',
    });
  }
  return found;
}

/** A place along the side; by the clock where the pipe is known. */
function placeAt(assignment: Assignment | null, alongMm: number | null): Condition['place'] {
  if (alongMm === null) return null;
  const work = assignment?.work ?? null;
  return { alongMm, clock: work && circumferentialPosition({ alongMm, ...work }).clock };
}

function outText(out: readonly OutOfRange[]): string {
  const parts = out.map(one => `${wordsOf(one.quantity)} (${bandOf(one)})`).join(', ');
  return `${parts.charAt(0).toUpperCase()}${parts.slice(1)}: out of range`;
}

const wordsOf = (quantity: string): string => quantity.replace(/([A-Z])/g, ' $1').toLowerCase();

function bandOf({ min, max, unit }: OutOfRange): string {
  if (min !== null && max !== null) return `limits ${min} to ${max} ${unit}`;
  if (min !== null) return `not below ${min} ${unit}`;
  return max === null ? 'no limit' : `not above ${max} ${unit}`;
}
