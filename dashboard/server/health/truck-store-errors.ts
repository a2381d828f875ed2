/** A store that cannot be used: said on every screen while it passes, the end of the program when it is broken. */
import { codeOf, isFull, storeErrorKind } from '../store/store-errors.ts';
import type { SetCondition } from './truck-conditions.ts';

export function truckStoreErrors({ set, onFatal }: { set: SetCondition; onFatal: (error: Error) => void }): {
  /** The record lane waits, or goes on with null. */
  readonly onPaused: (error: Error | null) => void;
  /** Any other use of the store failed. */
  readonly onStoreError: (error: Error) => void;
} {
  const onPaused = (error: Error | null): void => {
    const full = error !== null && isFull(error);
    set(
      'storeFull',
      full
        ? {
            priority: 'high',
            text: "The truck's disk is full: nothing new is stored here. The edges keep what they record.",
            action:
              'Free space on the truck. It goes on by itself, and nothing is lost that the edges can hold.',
          }
        : null,
    );
    set(
      'storeBlocked',
      error === null || full
        ? null
        : {
            priority: 'high',
            text: `The truck's store takes nothing for now (${codeOf(error)}). The edges keep what they record.`,
            action: 'End other programs that use the store; check that its disk is mounted for writing.',
          },
    );
  };
  return {
    onPaused,
    onStoreError: error => {
      // What was entered by hand is refused on its screen; only the record lane says how it stands.
      if (storeErrorKind(error) === 'broken') onFatal(error);
    },
  };
}
