import { type Signal, signal } from '@preact/signals';
import type { Alarm, AlarmPicture } from '#core/messages/api-alarm';
import type { LinkState } from './stream-client.ts';

/** All alarms as the server last said; kept when the connection is lost, and then shown as last known. */
export class AlarmStore {
  readonly picture: Signal<AlarmPicture | null> = signal(null);
  readonly isLinked: Signal<boolean> = signal(false);

  onEvent(name: string, data: unknown): void {
    if (name === 'alarms') this.picture.value = data as AlarmPicture;
  }

  onLink(state: LinkState): void {
    this.isLinked.value = state === 'open';
  }

  /** The answer to an action of this page; a newer picture of the stream stands. */
  take(picture: AlarmPicture): void {
    const known = this.picture.peek();
    if (known === null || picture.serverUtc >= known.serverUtc) this.picture.value = picture;
  }
}

/** Those a person is asked about: in service; or over, and not yet answered, whatever was put away since. */
export function listed(picture: AlarmPicture): readonly Alarm[] {
  return picture.alarms.filter(
    ({ availability, lifecycle }) =>
      availability === 'inService' ||
      (availability === 'suppressedByDesign' && (lifecycle === 'rtnUnacked' || lifecycle === 'latched')),
  );
}

/** True now, and saying nothing because no arc burns. */
export const waitsForArc = (picture: AlarmPicture): number =>
  picture.alarms.filter(({ availability }) => availability === 'suppressedByDesign').length -
  listed(picture).filter(({ availability }) => availability === 'suppressedByDesign').length;
