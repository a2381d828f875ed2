/** The ways in: a passphrase, a code for a first one, the code on the console, the link of a demo. */

import type { z } from 'zod';
import type { Person } from '#core/messages/api';
import type { firstPassphraseSchema, setUpSchema, signInSchema } from '#core/messages/api-account';
import { ApiProblem, type ProblemStatus } from '../api/problem.ts';
import type { Account, AccountTable, CodePurpose } from '../store/account-table.ts';
import type { StoredSession } from '../store/session-table.ts';
import type { DashboardStore } from '../store/store.ts';
import type { Accounts } from './accounts.ts';
import type { Asker } from './actor.ts';
import type { AuditLog } from './audit-log.ts';
import type { DelayedKey, GuessDelay } from './guess-delay.ts';
import { codeHash } from './one-time-code.ts';
import { keyOf, NEW_PASSPHRASE_PROBLEMS, type Passphrases } from './passphrases.ts';
import type { LiveSession, Sessions } from './sessions.ts';

export const SIGN_IN_PROBLEMS = { signInWrong: 401, signInWait: 429 } as const satisfies Record<
  string,
  ProblemStatus
>;
export const CODE_PROBLEMS = {
  codeWrong: 401,
  signInWait: 429,
  ...NEW_PASSPHRASE_PROBLEMS,
} as const satisfies Record<string, ProblemStatus>;

/** Several people behind one address may mistype before it waits. */
const FREE_OF_ADDRESS = 5;

export interface SignInOptions {
  readonly store: Pick<DashboardStore, 'addPerson' | 'atOnce'>;
  readonly table: AccountTable;
  readonly accounts: Accounts;
  readonly sessions: Sessions;
  readonly passphrases: Passphrases;
  readonly delay: GuessDelay;
  readonly audit: AuditLog;
  readonly now: () => Date;
  readonly newId: () => string;
}

export interface SignedIn {
  readonly token: string;
  readonly session: LiveSession;
  readonly person: Person;
}

export class SignIn {
  private readonly options: SignInOptions;
  /** Where an account was signed in to before: somebody who guesses elsewhere makes nobody wait there. */
  private readonly familiar = new Set<string>();

  constructor(options: SignInOptions) {
    this.options = options;
    for (const { stored } of options.sessions.all())
      this.familiar.add(placeOf(stored.personId, stored.address));
  }

  /** Answers alike, and takes as long, where there is no such account. */
  async byPassphrase({ name, passphrase }: z.infer<typeof signInSchema>, asker: Asker): Promise<SignedIn> {
    const { table, passphrases, audit } = this.options;
    const plain = name.trim().toLowerCase();
    const account = openOnly(table.named(plain) ?? table.named(name.trim()));
    const right = await this.guarded(this.keysOf(account, plain, asker), () =>
      passphrases.check(account?.personId ?? null, passphrase),
    );
    const person = account && this.options.accounts.person(account.personId);
    // Asked again after the wait: the account may have been withdrawn meanwhile.
    if (right && person && openOnly(table.of(person.id))) return this.enter(person, 'passphrase', asker);
    // A name that is none may be a passphrase typed into the wrong field: it is not written down.
    audit.write('signInFailed', asker, {
      person: account?.personId ?? null,
      detail: account ? null : 'no such account',
    });
    throw new ApiProblem(
      SIGN_IN_PROBLEMS.signInWrong,
      'signInWrong',
      'That name and passphrase do not belong together, or there is no such account.',
    );
  }

  /** A person's own passphrase, by the code an administrator gave; then they are signed in. */
  async byCode(asked: z.infer<typeof firstPassphraseSchema>, asker: Asker): Promise<SignedIn> {
    const { table, passphrases, accounts, audit } = this.options;
    const name = asked.name.trim().toLowerCase();
    const account = openOnly(table.named(name));
    const person = account && accounts.person(account.personId);
    const hash = codeHash(asked.code);
    const fits = async () => person !== null && this.holds(hash, 'passphrase', person.id);
    // By address alone: a code is too long to be guessed from many, and who guesses keeps nobody else out.
    const right = await this.guarded([ofAddress(asker)], fits);
    if (!right || !person) throw this.refused(asker, person?.id ?? null);
    passphrases.requireUncommon(asked.passphrase, [person.name, name]);
    // Before the wait: of two at once one is too late.
    if (!table.dropCode(hash)) throw this.refused(asker, person.id);
    await passphrases.set(person.id, asked.passphrase);
    if (!openOnly(table.of(person.id))) throw this.refused(asker, person.id);
    audit.write('passphraseSet', asker, { person: person.id, by: person.id });
    return this.enter(person, 'code', asker);
  }

  async byLink(code: string, asker: Asker): Promise<SignedIn> {
    const { table, accounts } = this.options;
    const hash = codeHash(code);
    const kept = table.code(hash);
    const person = kept?.personId ? accounts.person(kept.personId) : null;
    const fits = async () => person !== null && this.holds(hash, 'signIn', person.id);
    const right = await this.guarded([ofAddress(asker)], fits);
    if (!right || !person || !table.dropCode(hash)) throw this.refused(asker, null);
    return this.enter(person, 'link', asker);
  }

  /** The first administrator, or another one where all are lost. */
  async setUp(asked: z.infer<typeof setUpSchema>, asker: Asker): Promise<SignedIn> {
    const { store, table, accounts, passphrases, audit, now, newId } = this.options;
    const hash = codeHash(asked.code);
    const right = await this.guarded([ofAddress(asker)], async () => this.holds(hash, 'setUp', null));
    if (!right) throw this.refused(asker, null, 'setUpFailed');
    const { name, signInName, passphrase } = asked;
    passphrases.requireUncommon(passphrase, [name, signInName]);
    accounts.requireFree(signInName, null);
    if (!table.dropCode(hash)) throw this.refused(asker, null, 'setUpFailed');
    const person: Person = {
      id: newId(),
      name,
      roles: [...new Set([...asked.roles, 'administrator' as const])],
    };
    await passphrases.set(person.id, passphrase);
    store.atOnce(() => {
      const at = now().toISOString();
      store.addPerson(person, at);
      table.change({ personId: person.id, signInName, state: 'open' }, at);
      table.dropCodes(null);
      audit.write('setUp', asker, { person: person.id, by: person.id });
    });
    return this.enter(person, 'setUp', asker);
  }

  signOut(session: LiveSession, asker: Asker): void {
    const { sessions, audit } = this.options;
    sessions.end(session.stored.id);
    audit.write('signedOut', asker, { person: session.stored.personId });
  }

  /** One's own, by the one there is. */
  async ownPassphrase(
    { person, session }: { readonly person: Person; readonly session: LiveSession },
    { present, passphrase }: { readonly present: string | null; readonly passphrase: string },
    asker: Asker,
  ): Promise<void> {
    const { passphrases, sessions, audit, table } = this.options;
    if (passphrases.has(person.id)) await passphrases.prove(person, present ?? '');
    await passphrases.set(person.id, passphrase, [person.name, table.of(person.id)?.signInName ?? '']);
    audit.write('passphraseSet', asker, { person: person.id });
    // Whoever else knew the old one is out.
    sessions.endAllOf(person.id, session.stored.id);
  }

  /** A session of its own; the one that was there before, in the same browser, ends. */
  private enter(person: Person, how: StoredSession['how'], asker: Asker): SignedIn {
    const { sessions, audit } = this.options;
    audit.write('signedIn', asker, { person: person.id, by: person.id, detail: how });
    if (asker.actor.kind === 'person') sessions.end(asker.actor.session.stored.id);
    this.familiar.add(placeOf(person.id, asker.address));
    const { address, device } = asker;
    return { ...sessions.begin(person.id, how, { address, device }), person };
  }

  private async guarded(keys: readonly DelayedKey[], check: () => Promise<boolean>): Promise<boolean> {
    const answer = await this.options.delay.try(keys, check);
    if (answer === 'right') return true;
    if (answer === 'wrong') return false;
    throw new ApiProblem(
      SIGN_IN_PROBLEMS.signInWait,
      'signInWait',
      `After a wrong one the next try waits: again in ${answer.waitS} s.`,
    );
  }

  private keysOf(account: Account | null, name: string, asker: Asker): DelayedKey[] {
    if (!account) return [{ key: `name ${name}`, free: 0 }, ofAddress(asker)];
    const place = placeOf(account.personId, asker.address);
    if (this.familiar.has(place)) return [{ key: `${keyOf(account.personId)} at ${place}`, free: 0 }];
    return [{ key: keyOf(account.personId), free: 0 }, ofAddress(asker)];
  }

  private holds(hash: string, purpose: CodePurpose, personId: string | null): boolean {
    const kept = this.options.table.code(hash);
    return (
      kept !== null &&
      kept.purpose === purpose &&
      kept.personId === personId &&
      kept.endsAt > this.options.now().toISOString()
    );
  }

  private refused(asker: Asker, person: string | null, what: 'codeFailed' | 'setUpFailed' = 'codeFailed') {
    this.options.audit.write(what, asker, { person });
    return new ApiProblem(
      CODE_PROBLEMS.codeWrong,
      'codeWrong',
      'That code is not right, was used already, or its time is over: ask for a new one.',
    );
  }
}

const openOnly = (account: Account | null): Account | null => (account?.state === 'open' ? account : null);
const placeOf = (personId: string, address: string): string => `${personId} ${address}`;
const ofAddress = ({ address }: Asker): DelayedKey => ({ key: `address ${address}`, free: FREE_OF_ADDRESS });
