import { type Signal, signal } from '@preact/signals';
import type { TruckCondition, TruckState } from '#core/messages/truck';
import type { LinkState } from './stream-client.ts';

/** What is wrong at the truck itself; nothing is shown of it that is not being heard. */
export class TruckBoard {
  readonly conditions: Signal<readonly TruckCondition[]> = signal([]);

  onEvent(name: string, data: unknown): void {
    if (name === 'truck') this.conditions.value = (data as TruckState).conditions;
  }

  /** Said anew with every connection. */
  onLink(state: LinkState): void {
    if (state !== 'open') this.conditions.value = [];
  }
}
