/** The keys a rig's records came signed with, or were enrolled with: which one is trusted, which were, which never. */
import type { RigAddress } from '#core/topics/topics';
import type { Prepare } from './statements.ts';

/** A rig's key: `pinned` is trusted, `retired` was until it announced the next, `refused` was never. */
export interface SealKeyRow {
  readonly keyId: string;
  readonly publicKey: string;
  readonly state: 'pinned' | 'retired' | 'refused';
  /** Why it is what it is. */
  readonly how: 'firstSeen' | 'announced' | 'unannounced' | 'accepted' | 'enrolled';
  /** When this store first saw it, or when it was accepted. */
  readonly since: string;
  /** Of an accepted one: who, and why. */
  readonly decidedBy: string | null;
  readonly reason: string | null;
}

export class SealKeyTable {
  protected readonly sql: Prepare;
  protected readonly inOne: <T>(work: () => T) => T;

  /** `inOne` runs its argument in one transaction. */
  constructor(sql: Prepare, inOne: <T>(work: () => T) => T) {
    this.sql = sql;
    this.inOne = inOne;
  }

  keys({ site, rig }: RigAddress): SealKeyRow[] {
    return this.sql(
      `SELECT key_id AS keyId, public_key AS publicKey, state, how, since, decided_by AS decidedBy, reason FROM seal_keys
       WHERE site = ? AND rig = ? ORDER BY n`,
    ).all(site, rig) as SealKeyRow[];
  }

  /**
   * A person trusts a refused key: it is the rig's from now on, and the seals that came with it are checked again.
   * False when the rig has no such refused key.
   */
  accept(rig: RigAddress, keyId: string, by: { author: string; reason: string; at: string }): boolean {
    return this.inOne(() => {
      const { site, rig: name } = rig;
      const accepted = this.sql(
        `UPDATE seal_keys SET state = 'pinned', how = 'accepted', since = ?, decided_by = ?, reason = ?
         WHERE site = ? AND rig = ? AND key_id = ? AND state = 'refused'`,
      ).run(by.at, by.author, by.reason, site, name, keyId);
      if (accepted.changes === 0) return false;
      this.sql(
        `UPDATE seal_keys SET state = 'retired' WHERE site = ? AND rig = ? AND key_id <> ? AND state = 'pinned'`,
      ).run(site, name, keyId);
      this.checkAgain(rig, keyId);
      return true;
    });
  }

  /**
   * A board was enrolled for the rig by a code that `by` made: its key is the rig's from now on, known before its first
   * record or instead of the one before.
   */
  enrol(rig: RigAddress, key: { keyId: string; publicKey: string }, by: { by: string; at: string }): void {
    this.inOne(() => {
      const { site, rig: name } = rig;
      this.sql(
        `UPDATE seal_keys SET state = 'retired' WHERE site = ? AND rig = ? AND key_id <> ? AND state = 'pinned'`,
      ).run(site, name, key.keyId);
      this.sql(
        `INSERT INTO seal_keys (site, rig, key_id, public_key, state, how, since, decided_by)
         VALUES (?, ?, ?, ?, 'pinned', 'enrolled', ?, ?)
         ON CONFLICT (site, rig, key_id) DO UPDATE SET state = 'pinned', how = 'enrolled',
           since = excluded.since, decided_by = excluded.decided_by`,
      ).run(site, name, key.keyId, key.publicKey, by.at, by.by);
      this.checkAgain(rig, key.keyId);
    });
  }

  /** Every rig that sends seals with a key nobody has accepted. */
  refused(): (RigAddress & { readonly keyId: string })[] {
    return this.sql(
      `SELECT site, rig, key_id AS keyId FROM seal_keys WHERE state = 'refused' ORDER BY n`,
    ).all() as (RigAddress & { readonly keyId: string })[];
  }

  protected putKey({ site, rig }: RigAddress, { keyId, publicKey, state, how, since }: SealKeyRow): void {
    this.sql(
      `INSERT INTO seal_keys (site, rig, key_id, public_key, state, how, since) VALUES (?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT (site, rig, key_id) DO UPDATE SET state = excluded.state, how = excluded.how`,
    ).run(site, rig, keyId, publicKey, state, how, since);
  }

  /** Seals that came with a key which is trusted now. */
  private checkAgain({ site, rig }: RigAddress, keyId: string): void {
    this.sql(
      `UPDATE seals SET state = 'waiting', problem = NULL WHERE state = 'failed' AND key_id = ?
       AND stream_id IN (SELECT id FROM streams WHERE site = ? AND rig = ?)`,
    ).run(keyId, site, rig);
  }
}
