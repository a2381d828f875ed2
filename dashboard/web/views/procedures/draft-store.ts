import type { ProcedureDraft } from './procedure-draft.ts';

interface KeptDraft {
  readonly atMs: number;
  readonly draft: ProcedureDraft;
}

const keyOf = (name: string): string => `girthlog.procedure-draft.${name}`;

/** What is typed stays on this device until it is saved or discarded: a table is half an hour's work. */
export function readDraft(store: Pick<Storage, 'getItem'>, name: string): KeptDraft | null {
  try {
    const kept = JSON.parse(store.getItem(keyOf(name)) ?? 'null') as KeptDraft | null;
    const { draft } = kept ?? {};
    const whole =
      typeof kept?.atMs === 'number' &&
      Array.isArray(draft?.passes) &&
      typeof draft.nextKey === 'number' &&
      typeof draft.fields === 'object';
    return whole ? kept : null;
  } catch {
    return null;
  }
}

export function writeDraft(store: Pick<Storage, 'setItem'>, name: string, kept: KeptDraft): void {
  try {
    store.setItem(keyOf(name), JSON.stringify(kept));
  } catch {
    // Storage is full or off: the draft lasts as long as the page.
  }
}

export function dropDraft(store: Pick<Storage, 'removeItem'>, name: string): void {
  try {
    store.removeItem(keyOf(name));
  } catch {
    // Nothing was kept.
  }
}
