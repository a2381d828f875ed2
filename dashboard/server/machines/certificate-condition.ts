/** Certificates that will end: said on every screen while there is time. */
import type { Machine } from '#core/messages/enrolment';
import type { Stated } from '../health/truck-conditions.ts';
import type { ServerIdentity } from './truck-certificates.ts';

const DAY_MS = 86_400_000;
/** Our own choice: a month to get a certificate, a week before nothing connects any more. */
const SAID_DAYS = 30;
const URGENT_DAYS = 7;

export function certificateCondition(
  server: Pick<ServerIdentity, 'endsAt' | 'isGiven'> | null,
  machines: readonly Pick<Machine, 'site' | 'rig' | 'state' | 'endsAt'>[],
  nowMs: number,
): Stated | null {
  const ending = [
    // One made here is made again in time by itself.
    ...(server?.isGiven ? [{ name: 'the truck', endsMs: server.endsAt.getTime() }] : []),
    ...machines.flatMap(({ site, rig, state, endsAt }) =>
      state === 'valid' && endsAt !== null ? [{ name: `${site}/${rig}`, endsMs: Date.parse(endsAt) }] : [],
    ),
  ]
    .filter(({ endsMs }) => endsMs - nowMs < SAID_DAYS * DAY_MS)
    .sort((a, b) => a.endsMs - b.endsMs);
  const [first, ...more] = ending;
  if (!first) return null;
  const date = new Date(first.endsMs).toISOString().slice(0, 10);
  const others = more.length > 0 ? `, and ${more.length} more after it` : '';
  return {
    priority: first.endsMs - nowMs < URGENT_DAYS * DAY_MS ? 'high' : 'medium',
    text: `The certificate of ${first.name} ends on ${date}${others}: nothing connects with it after that.`,
    action:
      first.name === 'the truck'
        ? 'Put a new certificate and key in place of tls_certificate and tls_key: they are read again within the hour.'
        : `Enrol the board again: girthlog-dashboard enrol ${first.name}.`,
  };
}
