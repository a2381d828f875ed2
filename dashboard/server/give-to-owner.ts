import { lchownSync, statSync } from 'node:fs';
import { dirname } from 'node:path';

/**
 * What root makes beside a service's store belongs to the service, which has to read it. The path itself, never what a
 * link there leads to: the service may have put one where root is about to give.
 */
export function giveToOwner(path: string): void {
  if (process.getuid?.() !== 0) return;
  const { uid, gid } = statSync(dirname(path));
  if (uid !== 0) lchownSync(path, uid, gid);
}
