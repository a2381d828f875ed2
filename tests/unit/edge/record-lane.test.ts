import { beforeEach, describe, expect, it } from 'vitest';
import type { RecordMessage } from '#core/messages/record';
import type { InternalEventName, InternalEvents } from '../../../edge/internal-events.ts';
import type { StoredBatch } from '../../../edge/outbox/outbox-types.ts';
import { RecordLane, WINDOW } from '../../../edge/publisher/record-lane.ts';

/** A broker link and a store in memory; time stands until a test moves it. */
class Bench {
  now = 1_000_000;
  committed = 0;
  reconnects = 0;
  readonly sent: RecordMessage[] = [];
  readonly counts = new Map<InternalEventName, number>();
  /** Confirmations the broker still owes, oldest first. */
  readonly owed: ((confirmed: boolean) => void)[] = [];
  confirmAtOnce = true;
  bodyBytes = 100;
  readonly lane: RecordLane;

  constructor(committed = 0, cursors: Record<string, number> = { truck: 0 }) {
    this.committed = committed;
    const events: InternalEvents = {
      emit: (name, _fields, by = 1) => this.counts.set(name, (this.counts.get(name) ?? 0) + by),
      counters: () => ({}),
    };
    this.lane = new RecordLane({
      outbox: { read: (from, limit, maxBytes) => Promise.resolve(this.read(from, limit, maxBytes)) },
      stream: 'a'.repeat(32),
      origin: 'simulated',
      committedSeq: committed,
      cursors,
      publish: record => {
        this.sent.push(record);
        return new Promise(resolve => {
          if (this.confirmAtOnce) resolve(true);
          else this.owed.push(resolve);
        });
      },
      reconnect: () => {
        this.reconnects += 1;
      },
      onReadFailed: error => {
        throw error;
      },
      monotonicMs: () => this.now,
      recordNowUs: () => this.now * 1000,
      events,
    });
  }

  get seqs(): number[] {
    return this.sent.map(record => record.seq);
  }

  commit(count = 1): void {
    this.committed += count;
    this.lane.committed(this.committed);
  }

  /** Lets everything that waits for no one run to its end. */
  async settle(): Promise<void> {
    for (let i = 0; i < 500; i++) await Promise.resolve();
  }

  async later(ms: number): Promise<void> {
    for (let left = ms; left > 0; left -= 100) {
      this.now += Math.min(100, left);
      this.lane.tick();
      await this.settle();
    }
  }

  private read(from: number, limit: number, maxBytes: number): StoredBatch[] {
    const rows: StoredBatch[] = [];
    let bytes = 0;
    for (let seq = from; seq <= this.committed && rows.length < limit; seq++) {
      bytes += this.bodyBytes;
      if (rows.length > 0 && bytes > maxBytes) break;
      const hash = String(seq).padStart(64, '0');
      rows.push({
        seq,
        prev: hash,
        hash,
        body: 'x'.repeat(this.bodyBytes),
        closedUs: this.now * 1000,
        reduced: null,
      });
    }
    return rows;
  }
}

const upTo = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);

let bench: Bench;
beforeEach(() => {
  bench = new Bench();
});

describe('the record lane', () => {
  it('sends nothing without a connection and everything committed with one, in order', async () => {
    bench.commit(3);
    await bench.settle();
    expect(bench.sent).toEqual([]);
    bench.lane.connect();
    await bench.settle();
    bench.commit(2);
    await bench.settle();
    expect(bench.seqs).toEqual(upTo(5));
  });

  it('releases nothing on the broker’s confirmation', async () => {
    bench.lane.connect();
    bench.commit(5);
    await bench.settle();
    expect(bench.lane.watermark).toBe(0);
    expect(bench.lane.waiting).toBe(5);
  });

  it('has at most its window in flight, and goes on as the store commits', async () => {
    bench.lane.connect();
    bench.commit(1000);
    await bench.settle();
    expect(bench.seqs).toEqual(upTo(WINDOW));
    bench.lane.acknowledged('truck', 50);
    await bench.settle();
    expect(bench.seqs).toEqual(upTo(WINDOW + 50));
  });

  it('waits for the slowest of its required stores', async () => {
    bench = new Bench(0, { truck: 0, office: 0 });
    bench.lane.connect();
    bench.commit(3);
    await bench.settle();
    bench.lane.acknowledged('truck', 3);
    expect(bench.lane.watermark).toBe(0);
    bench.lane.acknowledged('office', 2);
    expect(bench.lane.watermark).toBe(2);
    expect(bench.lane.waiting).toBe(1);
  });

  it('goes back to the watermark when nothing was committed for 1.5 s, then ever more patiently', async () => {
    bench.lane.connect();
    bench.commit(3);
    await bench.settle();
    bench.lane.acknowledged('truck', 1);
    await bench.later(1500);
    expect(bench.seqs).toEqual([1, 2, 3]);
    await bench.later(100);
    expect(bench.seqs).toEqual([1, 2, 3, 2, 3]);
    await bench.later(3000);
    expect(bench.sent).toHaveLength(5);
    await bench.later(100);
    expect(bench.sent).toHaveLength(7);
    await bench.later(60_000);
    const resent = bench.counts.get('recordsResent') ?? 0;
    // 6 s, then every 10 s.
    expect(resent).toBe(2 + 1 + Math.floor((60_000 - 6100) / 10_100));
  });

  it('notices one lost batch while later ones keep coming', async () => {
    bench.lane.connect();
    bench.commit(1);
    await bench.settle();
    for (let i = 0; i < 3; i++) {
      await bench.later(1000);
      bench.commit(1);
      await bench.settle();
    }
    expect(bench.seqs.filter(seq => seq === 1).length).toBeGreaterThan(1);
  });

  it('begins at the watermark again after every connection', async () => {
    bench.lane.connect();
    bench.commit(4);
    await bench.settle();
    bench.lane.acknowledged('truck', 2);
    bench.lane.disconnect();
    bench.commit(1);
    await bench.settle();
    expect(bench.seqs).toEqual([1, 2, 3, 4]);
    bench.lane.connect();
    await bench.settle();
    expect(bench.seqs).toEqual([1, 2, 3, 4, 3, 4, 5]);
  });

  it('keeps little on its way unconfirmed, so that live summaries do not queue behind it', async () => {
    bench.confirmAtOnce = false;
    bench.lane.connect();
    bench.commit(100);
    await bench.settle();
    expect(bench.sent).toHaveLength(16);
    bench.owed.shift()?.(true);
    await bench.settle();
    expect(bench.sent).toHaveLength(17);

    const large = new Bench();
    large.confirmAtOnce = false;
    large.bodyBytes = 60_000;
    large.lane.connect();
    large.commit(100);
    await large.settle();
    expect(large.sent.length * large.bodyBytes).toBeLessThan(256 * 1024 + large.bodyBytes);
  });

  it('asks for a new connection when the broker confirms nothing for 15 s', async () => {
    bench.confirmAtOnce = false;
    bench.lane.connect();
    bench.commit(1);
    await bench.settle();
    await bench.later(15_000);
    expect(bench.reconnects).toBe(0);
    await bench.later(100);
    expect(bench.reconnects).toBe(1);
    expect(bench.sent).toHaveLength(1);
  });

  it('calls a batch historical that is older than 5 s when it is sent', async () => {
    bench.commit(1);
    const readNow = bench.now;
    bench.lane.connect();
    await bench.settle();
    expect(bench.sent[0]?.historical).toBe(false);

    const old = new Bench(1);
    const outboxTime = readNow * 1000;
    old.now += 5001;
    (old as unknown as { read: () => StoredBatch[] }).read = () => [
      { seq: 1, prev: '', hash: '', body: '', closedUs: outboxTime, reduced: null },
    ];
    old.lane.connect();
    await old.settle();
    expect(old.sent[0]?.historical).toBe(true);
  });

  it('goes back with a store that has lost something, and on from there', async () => {
    const two = new Bench(10, { truck: 10, office: 10 });
    two.lane.connect();
    await two.settle();
    expect(two.seqs).toEqual([]);
    two.lane.rewound('truck', 6);
    await two.settle();
    expect(two.seqs).toEqual([7, 8, 9, 10]);
    expect(two.lane.waiting).toBe(4);
    // The other store had lost less.
    two.lane.rewound('office', 8);
    await two.settle();
    expect(two.seqs).toEqual([7, 8, 9, 10]);
    two.lane.acknowledged('truck', 10);
    two.lane.acknowledged('office', 10);
    two.commit();
    await two.settle();
    expect(two.seqs).toEqual([7, 8, 9, 10, 11]);
  });

  it('sends a reduced batch as what it is', async () => {
    const reduced = { to: 'pruned', bodyHash: 'b'.repeat(64) } as const;
    (bench as unknown as { read: () => StoredBatch[] }).read = () => [
      { seq: 1, prev: '', hash: '', body: '', closedUs: 0, reduced },
    ];
    bench.commit();
    bench.lane.connect();
    await bench.settle();
    expect(bench.sent[0]).toMatchObject({ seq: 1, body: '', reduced });
  });

  it('tells how long the watermark has stood still while batches wait', async () => {
    bench.lane.connect();
    await bench.later(20_000);
    expect(bench.lane.stuckMs).toBe(0);
    bench.commit(1);
    await bench.later(3000);
    expect(bench.lane.stuckMs).toBe(3000);
    bench.lane.acknowledged('truck', 1);
    expect(bench.lane.stuckMs).toBe(0);
  });
});
