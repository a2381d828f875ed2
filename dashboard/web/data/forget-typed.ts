type Kept = Pick<Storage, 'length' | 'key' | 'removeItem'>;

/** Keys of a tab that are nobody's typing: which lesson is open, and the trainer's link. */
const OF_THE_TAB = 'girthlog.training.';

/**
 * Drops what somebody typed and has not sent, from the tab and from the device, so that the next person at a shared
 * screen does not go on with it. What belongs to the device (language, units, tape and stopwatch, sums) stays.
 */
export function forgetTyped(device: Kept, tab: Kept): void {
  drop(device, key => key.startsWith('girthlog.procedure-draft.'));
  drop(tab, key => key.startsWith('girthlog.') && !key.startsWith(OF_THE_TAB));
}

function drop(storage: Kept, goes: (key: string) => boolean): void {
  try {
    const keys = Array.from({ length: storage.length }, (_, n) => storage.key(n) ?? '');
    for (const key of keys.filter(goes)) storage.removeItem(key);
  } catch {
    // Storage is switched off in this browser: nothing was kept.
  }
}
