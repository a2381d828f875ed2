/** Who has an account, and what administrators do with them. Names in records stay, whatever becomes of an account. */

import type { z } from 'zod';
import type { Person } from '#core/messages/api';
import type { AccountList, GivenCode, newAccountSchema, SessionList } from '#core/messages/api-account';
import { ApiProblem, type ProblemStatus } from '../api/problem.ts';
import type { Account, AccountTable, CodePurpose } from '../store/account-table.ts';
import type { DashboardStore } from '../store/store.ts';
import type { Asker } from './actor.ts';
import type { AuditLog } from './audit-log.ts';
import { codeHash, newCode, newLinkCode } from './one-time-code.ts';
import type { LiveSession, Sessions } from './sessions.ts';

export const ACCOUNT_PROBLEMS = {
  personUnknown: 404,
  accountUnknown: 404,
  sessionUnknown: 404,
  signInNameTaken: 409,
  accountOpen: 409,
  lastAdministrator: 409,
} as const satisfies Record<string, ProblemStatus>;

const problem = (code: keyof typeof ACCOUNT_PROBLEMS, detail: string): ApiProblem =>
  new ApiProblem(ACCOUNT_PROBLEMS[code], code, detail);

/** How long a code waits: on a slip of paper over a weekend, in a link for a shift. */
const WAITS_MS: Readonly<Record<CodePurpose, number>> = {
  setUp: 15 * 60_000,
  passphrase: 72 * 3_600_000,
  signIn: 12 * 3_600_000,
};

export interface AccountsOptions {
  readonly store: Pick<DashboardStore, 'people' | 'addPerson' | 'passphrases' | 'atOnce'>;
  readonly table: AccountTable;
  readonly sessions: Sessions;
  readonly audit: AuditLog;
  readonly now: () => Date;
  readonly newId: () => string;
}

export class Accounts {
  private readonly options: AccountsOptions;

  constructor(options: AccountsOptions) {
    this.options = options;
  }

  person(id: string): Person | null {
    return this.options.store.people().find(one => one.id === id) ?? null;
  }

  /** Whether somebody can sign in who may let others in. */
  hasAdministrator(): boolean {
    return this.administrators().length > 0;
  }

  /** Where no administrator can sign in: the code that makes one, 15 minutes good and once; an earlier one is void. */
  setUpCode(by: string | null): { readonly code: string; readonly endsAt: string } {
    const { store, audit } = this.options;
    const code = newCode();
    return store.atOnce(() => {
      const endsAt = this.keepCode(codeHash(code), 'setUp', null);
      audit.write('setUpCodeMade', null, { by });
      return { code, endsAt };
    });
  }

  list(own: LiveSession | null): AccountList {
    const { store, table, sessions } = this.options;
    const holders = store.passphrases.holders();
    const accounts = new Map(table.all().map(account => [account.personId, account]));
    return {
      accounts: store.people().map(person => {
        const account = accounts.get(person.id);
        const codeEndsAt = this.waiting(person.id);
        const hasPassphrase = holders.has(person.id);
        const isNew = !hasPassphrase && codeEndsAt !== null;
        const state = !account ? 'none' : account.state === 'open' && isNew ? 'codeGiven' : account.state;
        return {
          person,
          signInName: account?.signInName ?? null,
          state,
          hasPassphrase,
          codeEndsAt,
          sessions: sessions.of(person.id).map(one => shown(one, own)),
        };
      }),
    };
  }

  sessionsOf(personId: string, own: LiveSession | null): SessionList {
    return { sessions: this.options.sessions.of(personId).map(one => shown(one, own)) };
  }

  /** An account with a code for its first passphrase. */
  open(asked: z.infer<typeof newAccountSchema>, asker: Asker): GivenCode {
    const { store, table, audit, now, newId } = this.options;
    const known = asked.person === null ? null : this.known(asked.person);
    if (known && table.of(known.id)?.state === 'open') {
      throw problem('accountOpen', `${known.name} has an account already.`);
    }
    this.requireFree(asked.signInName, known?.id ?? null);
    return store.atOnce(() => {
      const person = { id: known?.id ?? newId(), name: known?.name ?? asked.name, roles: asked.roles };
      const at = now().toISOString();
      store.addPerson(person, at);
      table.change({ personId: person.id, signInName: asked.signInName, state: 'open' }, at);
      audit.write('accountOpened', asker, {
        person: person.id,
        detail: `${asked.signInName}: ${asked.roles.join(', ')}`,
      });
      return this.codeFor(person, asked.signInName, 'passphrase', asker);
    });
  }

  /** A code for a new passphrase, for who has forgotten theirs; sessions that are open end. */
  giveCode(personId: string, asker: Asker): GivenCode {
    const { store, sessions } = this.options;
    const person = this.known(personId);
    const { signInName } = this.requireAccount(person);
    const given = store.atOnce(() => this.codeFor(person, signInName, 'passphrase', asker));
    sessions.endAllOf(personId);
    return given;
  }

  /** A link that signs in once without a passphrase: for a dashboard to try things out on. */
  giveLink(personId: string, asker: Asker): GivenCode {
    const { store, table, now } = this.options;
    const person = this.known(personId);
    return store.atOnce(() => {
      const account = table.of(personId);
      const signInName = account?.signInName ?? this.freeName(person);
      if (account?.state !== 'open') {
        table.change({ personId, signInName, state: 'open' }, now().toISOString());
      }
      return this.codeFor(person, signInName, 'signIn', asker);
    });
  }

  withdraw(personId: string, asker: Asker): void {
    const { store, table, sessions, audit, now } = this.options;
    const person = this.known(personId);
    const account = this.requireAccount(person);
    this.requireAnother(person);
    store.atOnce(() => {
      table.change({ ...account, state: 'withdrawn' }, now().toISOString());
      table.dropCodes(personId);
      audit.write('accountWithdrawn', asker, { person: personId });
    });
    sessions.endAllOf(personId);
  }

  changeRoles(personId: string, roles: Person['roles'], asker: Asker): Person {
    const { store, audit, now } = this.options;
    const person = this.known(personId);
    if (!roles.includes('administrator')) this.requireAnother(person);
    const changed = { ...person, roles };
    store.atOnce(() => {
      store.addPerson(changed, now().toISOString());
      audit.write('rolesChanged', asker, {
        person: personId,
        detail: `${person.roles.join(', ')} -> ${roles.join(', ')}`,
      });
    });
    return changed;
  }

  endSession(id: string, asker: Asker): void {
    const { sessions, audit } = this.options;
    const session = sessions.byId(id);
    if (!session) throw problem('sessionUnknown', 'That session is over already.');
    audit.write('sessionEnded', asker, { person: session.stored.personId });
    sessions.end(id);
  }

  endSessionsOf(personId: string, but: string | null, asker: Asker): number {
    const { sessions, audit } = this.options;
    audit.write('sessionEnded', asker, { person: personId, detail: but === null ? 'all' : 'all others' });
    return sessions.endAllOf(personId, but);
  }

  requireFree(signInName: string, personId: string | null): void {
    const { store, table } = this.options;
    const taken = table.named(signInName);
    const isId = store.people().some(({ id }) => id === signInName && id !== personId);
    if (!isId && (!taken || taken.personId === personId)) return;
    throw problem('signInNameTaken', `Somebody signs in as ${signInName} already: take another name.`);
  }

  private known(id: string): Person {
    const person = this.person(id);
    if (person) return person;
    throw problem('personUnknown', `Person ${id} is not among the people here.`);
  }

  private requireAccount(person: Person): Account {
    const account = this.options.table.of(person.id);
    if (account?.state === 'open') return account;
    throw problem('accountUnknown', `${person.name} has no open account.`);
  }

  /** Without an administrator nobody could let anybody in. */
  private requireAnother(person: Person): void {
    const others = this.administrators().filter(({ id }) => id !== person.id);
    if (!this.administrators().some(({ id }) => id === person.id) || others.length > 0) return;
    throw problem(
      'lastAdministrator',
      `${person.name} is the only administrator: make somebody else one first.`,
    );
  }

  private administrators(): Person[] {
    const { store, table } = this.options;
    const open = new Set(table.all().flatMap(one => (one.state === 'open' ? [one.personId] : [])));
    const holders = store.passphrases.holders();
    return store
      .people()
      .filter(({ id, roles }) => roles.includes('administrator') && open.has(id))
      .filter(
        ({ id }) => holders.has(id) || this.waiting(id) !== null || this.options.sessions.of(id).length > 0,
      );
  }

  private waiting(personId: string): string | null {
    const { table, now } = this.options;
    const ends = [table.waiting(personId, 'passphrase'), table.waiting(personId, 'signIn')];
    return ends.find(endsAt => endsAt !== null && endsAt > now().toISOString()) ?? null;
  }

  private codeFor(person: Person, signInName: string, purpose: CodePurpose, asker: Asker): GivenCode {
    const code = purpose === 'signIn' ? newLinkCode() : newCode();
    const endsAt = this.keepCode(codeHash(code), purpose, person.id);
    this.options.audit.write(purpose === 'signIn' ? 'linkGiven' : 'codeGiven', asker, { person: person.id });
    return { person, signInName, code, endsAt };
  }

  private keepCode(hash: string, purpose: CodePurpose, personId: string | null): string {
    const { table, now } = this.options;
    const endsAt = new Date(now().getTime() + WAITS_MS[purpose]).toISOString();
    table.addCode(hash, { purpose, personId, endsAt }, now().toISOString());
    return endsAt;
  }

  private freeName(person: Person): string {
    const { table } = this.options;
    const plain = person.name
      .normalize('NFKD')
      .toLowerCase()
      .replaceAll(/[^a-z0-9]+/g, '-');
    const base = plain.replaceAll(/^-+|-+$/g, '').slice(0, 34) || 'person';
    for (let n = 1; ; n++) {
      const name = n === 1 ? base : `${base}-${n}`;
      if (!table.named(name)) return name;
    }
  }
}

function shown({ stored }: LiveSession, own: LiveSession | null): SessionList['sessions'][number] {
  const { id, personId, how, address, device, startedAt, actedAt, endsAt } = stored;
  return {
    id,
    person: personId,
    own: id === own?.stored.id,
    how,
    address,
    device,
    startedAt,
    actedAt,
    endsAt,
  };
}
