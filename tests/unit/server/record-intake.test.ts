import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { type IntakeStore, RecordIntake } from '../../../dashboard/server/ingest/record-intake.ts';
import type { CommitResult, StreamState, VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { STREAM, testChain } from '../../support/test-records.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function streamAt(first: number | null, upto: number): StreamState {
  return {
    ...RIG,
    stream: STREAM,
    origin: 'simulated',
    first,
    upto,
    head: CHAIN_START,
    lowest: 1,
    highest: 1,
    waiting: 0,
    conflicts: 0,
    chainBroken: false,
  };
}

/** An intake whose store does what `commit` says. */
function setUp(commit: (batch: readonly VerifiedRecord[]) => void, first: number | null = 1) {
  const { report, counts } = recordedEvents();
  const stored: VerifiedRecord[] = [];
  const acknowledged: StreamState[] = [];
  const fatal: Error[] = [];
  const batches: number[] = [];
  const starts: number[] = [];
  const store: IntakeStore = {
    commitRecords: (batch): CommitResult => {
      batches.push(batch.length);
      commit(batch);
      return { outcomes: batch.map(() => 'stored'), streams: [streamAt(first, 1)], foreignPasses: [] };
    },
    startStreamAt: (_address, _stream, at) => {
      starts.push(at);
      return streamAt(at, at);
    },
    streamState: () => streamAt(first, 100),
  };
  const intake = new RecordIntake({
    store,
    report,
    now: () => new Date(0),
    monotonicMs: () => Date.now(),
    onStored: record => stored.push(record),
    onStream: state => acknowledged.push(state),
    onPaused: () => {},
    onFatal: error => fatal.push(error),
  });
  const offer = (count: number): void => {
    for (const record of testChain(count)) intake.offer(RIG, record);
  };
  const hear = (acknowledged: number): Promise<void> =>
    intake.hear(RIG, { stream: STREAM, origin: 'simulated' }, acknowledged);
  return { intake, hear, offer, counts, stored, acknowledged, fatal, batches, starts };
}

const sqliteError = (code: string): Error => Object.assign(new Error(code), { code });

describe('RecordIntake', () => {
  it('commits many records a transaction, in order, at most a hundred', async () => {
    const { offer, stored, batches, acknowledged } = setUp(() => {});
    offer(250);
    expect(batches).toEqual([]);
    await vi.runAllTimersAsync();
    expect(batches).toEqual([100, 100, 50]);
    expect(stored.map(record => record.message.seq)).toEqual(Array.from({ length: 250 }, (_, i) => i + 1));
    expect(acknowledged).toHaveLength(3);
  });

  it('acknowledges nothing while the disk is full, and goes on when it is not', async () => {
    let full = true;
    const { offer, stored, acknowledged, counts } = setUp(() => {
      if (full) throw sqliteError('SQLITE_FULL');
    });
    offer(5);
    await vi.advanceTimersByTimeAsync(3500);
    expect(acknowledged).toEqual([]);
    expect(counts['storeFailed']).toBe(4);
    full = false;
    await vi.advanceTimersByTimeAsync(1000);
    expect(stored).toHaveLength(5);
  });

  it('ends the program when the store itself is broken', async () => {
    const { offer, fatal, stored } = setUp(() => {
      throw sqliteError('SQLITE_IOERR_WRITE');
    });
    offer(1);
    await vi.advanceTimersByTimeAsync(10);
    expect(fatal).toHaveLength(1);
    expect(stored).toEqual([]);
  });

  it('keeps raw the one record whose content cannot be stored, and all the others as they are', async () => {
    const { offer, stored, counts } = setUp(batch => {
      if (batch.some(record => record.message.seq === 7 && record.body))
        throw new RangeError('a value too large');
    });
    offer(20);
    await vi.runAllTimersAsync();
    expect(stored.map(record => record.message.seq)).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
    expect(
      stored.filter(record => record.body === null).map(record => [record.message.seq, record.unreadable]),
    ).toEqual([[7, 'a value too large']]);
    expect(counts['storeFailed']).toBeGreaterThan(0);
  });

  it('leaves to the edge what does not fit in memory', async () => {
    const { offer, counts, intake } = setUp(() => {
      throw sqliteError('SQLITE_BUSY');
    });
    offer(2100);
    expect(intake.waitingCount).toBe(2000);
    expect(counts).toMatchObject({ intakeFull: 100 });
  });

  it('commits what waits when it stops, and takes nothing afterwards', async () => {
    const { offer, stored, intake } = setUp(() => {});
    offer(150);
    await intake.stop();
    expect(stored).toHaveLength(150);
    offer(1);
    await vi.runAllTimersAsync();
    expect(stored).toHaveLength(150);
  });

  it('takes the edge’s word on where a stream begins only after it had time to send the beginning', async () => {
    const { offer, hear, starts, acknowledged, counts } = setUp(() => {}, null);
    await hear(40);
    offer(1);
    await vi.advanceTimersByTimeAsync(19_000);
    await hear(40);
    expect(starts).toEqual([]);
    await vi.advanceTimersByTimeAsync(2000);
    await hear(40);
    expect(starts).toEqual([41]);
    expect(acknowledged.at(-1)).toMatchObject({ first: 41 });
    expect(counts['streamStartsLate']).toBe(1);
    await hear(40);
    expect(starts).toEqual([41]);
  });
});
