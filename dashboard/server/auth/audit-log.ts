/** Writes down what is done with accounts. Throws where it cannot be written: then it is not done either. */
import type { AuditWhat } from '#core/messages/api-account';
import type { AuditTable } from '../store/audit-table.ts';
import { type Asker, actorName } from './actor.ts';

export interface AuditDetails {
  /** Whose account. */
  readonly person?: string | null;
  /** Who, where it is not the asker. */
  readonly by?: string | null;
  readonly detail?: string | null;
}

export class AuditLog {
  private readonly table: AuditTable;
  private readonly now: () => Date;

  constructor(table: AuditTable, now: () => Date) {
    this.table = table;
    this.now = now;
  }

  write(what: AuditWhat, asker: Asker | null, details: AuditDetails = {}): void {
    this.table.add({
      at: this.now().toISOString(),
      what,
      person: details.person ?? null,
      by: details.by ?? (asker ? actorName(asker.actor) : null),
      address: asker?.address ?? null,
      detail: details.detail?.slice(0, 300) ?? null,
    });
  }
}
