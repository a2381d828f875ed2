import { chownSync, statSync } from 'node:fs';
import { dirname } from 'node:path';

/** What root makes beside a service's store belongs to the service, which has to read it. */
export function giveToOwner(path: string): void {
  if (process.getuid?.() !== 0) return;
  const { uid, gid } = statSync(dirname(path));
  if (uid !== 0) chownSync(path, uid, gid);
}
