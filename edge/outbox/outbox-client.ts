/** The main thread's end of the capture worker. Calls are answered in the order they were made. */
import { Worker } from 'node:worker_threads';
import type {
  AckClaim,
  AckVerdict,
  AppendResult,
  OpenedStore,
  PendingBatch,
  RoomMade,
  StatePatch,
  StoredBatch,
  StoreStats,
} from './outbox-types.ts';
import { StoreError } from './outbox-types.ts';
import type {
  CallArguments,
  CallResult,
  WorkerCall,
  WorkerData,
  WorkerReply,
  WorkerRequest,
} from './worker-protocol.ts';

/** The outbox as the rest of the edge sees it; every rejection is a StoreError. */
export interface Outbox {
  open(): Promise<OpenedStore>;
  append(batches: readonly PendingBatch[]): Promise<AppendResult>;
  saveState(patch: StatePatch): Promise<void>;
  read(fromSeq: number, limit: number, maxBytes: number): Promise<StoredBatch[]>;
  acknowledge(claim: AckClaim): Promise<AckVerdict>;
  makeRoom(): Promise<RoomMade>;
  reducedFrom(fromSeq: number): Promise<number>;
  /** Hashes of the batches `fromSeq` to `toSeq` in order, at most `limit`. */
  hashes(fromSeq: number, toSeq: number, limit: number): Promise<string[]>;
  /** The first batch closed at or after a record time; one behind the newest where none was. */
  firstSeqSince(recordUs: number): Promise<number>;
  stats(): Promise<StoreStats>;
  close(): Promise<void>;
}

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: StoreError) => void;
}

export class OutboxClient implements Outbox {
  private readonly data: WorkerData;
  private readonly script: URL;
  private worker: Worker | null = null;
  private nextId = 1;
  private readonly waiting = new Map<number, Waiting>();
  private ended: StoreError | null = null;

  /** `script` is the built worker; beside the program by default. */
  constructor(data: WorkerData, script: URL = new URL('./capture-worker.js', import.meta.url)) {
    this.data = data;
    this.script = script;
  }

  open(): Promise<OpenedStore> {
    this.worker = new Worker(this.script, { workerData: this.data });
    this.worker.on('message', (reply: WorkerReply) => this.settle(reply));
    this.worker.on('error', error => this.end(`the store's thread ended: ${error.message}`));
    this.worker.on('exit', () => this.end("the store's thread has ended"));
    // A store that cannot be opened leaves no thread behind to keep the process alive.
    return this.call('open', []).catch(async (error: unknown) => {
      await this.worker?.terminate();
      throw error;
    });
  }

  append(batches: readonly PendingBatch[]): Promise<AppendResult> {
    return this.call('append', [batches]);
  }

  saveState(patch: StatePatch): Promise<void> {
    return this.call('saveState', [patch]);
  }

  read(fromSeq: number, limit: number, maxBytes: number): Promise<StoredBatch[]> {
    return this.call('read', [fromSeq, limit, maxBytes]);
  }

  acknowledge(claim: AckClaim): Promise<AckVerdict> {
    return this.call('acknowledge', [claim]);
  }

  makeRoom(): Promise<RoomMade> {
    return this.call('makeRoom', []);
  }

  reducedFrom(fromSeq: number): Promise<number> {
    return this.call('reducedFrom', [fromSeq]);
  }

  hashes(fromSeq: number, toSeq: number, limit: number): Promise<string[]> {
    return this.call('hashes', [fromSeq, toSeq, limit]);
  }

  firstSeqSince(recordUs: number): Promise<number> {
    return this.call('firstSeqSince', [recordUs]);
  }

  stats(): Promise<StoreStats> {
    return this.call('stats', []);
  }

  async close(): Promise<void> {
    if (!this.worker || this.ended) return;
    await this.call('close', []);
    await this.worker.terminate();
  }

  private call<C extends WorkerCall>(call: C, args: CallArguments<C>): Promise<CallResult<C>> {
    const { worker } = this;
    if (this.ended) return Promise.reject(this.ended);
    if (!worker) return Promise.reject(new StoreError('failed', 'the store is not open'));
    const request: WorkerRequest = { id: this.nextId++, call, args };
    return new Promise<CallResult<C>>((resolve, reject) => {
      this.waiting.set(request.id, { resolve: value => resolve(value as CallResult<C>), reject });
      worker.postMessage(request);
    });
  }

  private settle(reply: WorkerReply): void {
    const waiting = this.waiting.get(reply.id);
    this.waiting.delete(reply.id);
    if (reply.ok) waiting?.resolve(reply.value);
    else waiting?.reject(new StoreError(reply.kind, reply.message));
  }

  private end(message: string): void {
    this.ended ??= new StoreError('failed', message);
    for (const waiting of this.waiting.values()) waiting.reject(this.ended);
    this.waiting.clear();
  }
}
