/** What main thread and capture worker say to each other: calls by name, answered in order. */
import type { StoreBudget } from './disk-room.ts';
import type { OutboxStore } from './outbox-store.ts';
import type { StoreErrorKind } from './outbox-types.ts';

export const WORKER_CALLS = [
  'open',
  'append',
  'saveState',
  'read',
  'acknowledge',
  'makeRoom',
  'reducedFrom',
  'hashes',
  'firstSeqSince',
  'stats',
  'close',
] as const;
export type WorkerCall = (typeof WORKER_CALLS)[number];

export type CallArguments<C extends WorkerCall> = Parameters<OutboxStore[C]>;
export type CallResult<C extends WorkerCall> = ReturnType<OutboxStore[C]>;

export interface WorkerData {
  readonly path: string;
  readonly requiredStores: readonly string[];
  readonly budget: StoreBudget;
}

export interface WorkerRequest {
  readonly id: number;
  readonly call: WorkerCall;
  readonly args: readonly unknown[];
}

export type WorkerReply =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly kind: StoreErrorKind; readonly message: string };
