import { readFileSync } from 'node:fs';

/** Names the running of this machine since it was switched on; null where the system does not say. */
export function bootId(): string | null {
  try {
    return readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim() || null;
  } catch {
    return null;
  }
}
