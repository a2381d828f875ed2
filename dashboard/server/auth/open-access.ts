/** Accounts, sessions and programs put together: who a request comes from. */
import { randomUUID } from 'node:crypto';
import type { Request } from 'express';
import type { Right } from '#core/messages/api-account';
import { ApiProblem } from '../api/problem.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { Settings } from '../settings.ts';
import type { DashboardStore } from '../store/store.ts';
import { Accounts } from './accounts.ts';
import type { Actor, Asker } from './actor.ts';
import { AuditLog } from './audit-log.ts';
import { GuessDelay } from './guess-delay.ts';
import { SCRYPT_COST, type ScryptCost } from './passphrase-hash.ts';
import { Passphrases } from './passphrases.ts';
import { type ProgramAccount, ProgramAccounts } from './program-accounts.ts';
import { tokenIn } from './session-cookie.ts';
import { Sessions } from './sessions.ts';
import { SignIn } from './sign-in.ts';

export interface AccessOptions {
  readonly store: DashboardStore;
  readonly programs: readonly ProgramAccount[];
  /** Somebody without a session may look. */
  readonly openReading: boolean;
  readonly demo: boolean;
  /** On a dashboard of training whoever may look may mark and rate: it moves no rig. */
  readonly training: boolean;
  readonly cost: ScryptCost;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  readonly newId: () => string;
  readonly report: ReportEvent;
}

/** How often sessions are looked at whose time may be over. */
const SWEEP_MS = 15_000;
const DEVICE_LETTERS = 120;

export class Access {
  readonly accounts: Accounts;
  readonly sessions: Sessions;
  readonly signIn: SignIn;
  readonly audit: AuditLog;
  readonly passphrases: Passphrases;
  readonly openReading: boolean;
  readonly demo: boolean;
  /** Part of the cookie's name. */
  readonly cookie: string;
  private readonly programs: ProgramAccounts;
  private readonly anyone: ReadonlySet<Right>;
  private readonly timer: NodeJS.Timeout;

  constructor(options: AccessOptions) {
    const { store, now, monotonicMs, newId, cost, report } = options;
    this.openReading = options.openReading;
    this.demo = options.demo;
    this.cookie = store.key.fingerprint.slice(0, 8);
    this.programs = new ProgramAccounts(options.programs);
    this.anyone = new Set(options.openReading ? (options.training ? ['read', 'trainAlong'] : ['read']) : []);
    this.audit = new AuditLog(store.audit, now);
    const delay = new GuessDelay(monotonicMs);
    this.passphrases = new Passphrases({
      table: store.passphrases,
      now,
      monotonicMs,
      cost,
      delay,
      onWrong: person => this.audit.write('passphraseFailed', null, { person: person.id }),
    });
    this.sessions = new Sessions({ table: store.sessions, now, monotonicMs, newId });
    const parts = { store, table: store.accounts, sessions: this.sessions, audit: this.audit, now, newId };
    this.accounts = new Accounts(parts);
    this.signIn = new SignIn({ ...parts, accounts: this.accounts, passphrases: this.passphrases, delay });
    this.timer = setInterval(() => this.sessions.sweep(), SWEEP_MS);
    this.timer.unref();
    for (const { name, rights } of options.programs) report('programAdmitted', { name, rights });
  }

  /** Somebody of whom nothing is known. */
  get nobody(): Actor {
    return { kind: 'anyone', rights: this.anyone };
  }

  stop(): void {
    clearInterval(this.timer);
  }

  readonly whoAsks = (request: Request): Asker => ({
    actor: this.actorOf(request),
    address: request.socket.remoteAddress ?? 'unknown',
    device: (request.get('user-agent') ?? '').replaceAll(/[^\x20-\x7e]/g, '').slice(0, DEVICE_LETTERS),
  });

  /** After a wait, before anything is entered: a session that was ended meanwhile enters nothing. Throws ApiProblem. */
  requireStill({ actor }: Asker): void {
    if (actor.kind !== 'person' || this.sessions.byId(actor.session.stored.id)) return;
    throw new ApiProblem(401, 'signInNeeded', 'This session was ended meanwhile: nothing was entered.');
  }

  private actorOf(request: Request): Actor {
    const [, bearer] = /^Bearer (\S+)$/i.exec(request.get('authorization') ?? '') ?? [];
    if (bearer !== undefined) {
      const program = this.programs.find(bearer);
      if (program) return { kind: 'program', ...program };
      throw new ApiProblem(401, 'tokenUnknown', 'No program with that token is known here.');
    }
    const token = tokenIn(request, this.cookie);
    const session = token === null ? null : this.sessions.find(token);
    const person = session && this.accounts.person(session.stored.personId);
    if (!session || !person) return this.nobody;
    const actor = { kind: 'person', person, session, idle: this.sessions.isIdle(session) } as const;
    // Looking is not doing: a screen that is left alone goes on asking.
    if (request.method !== 'GET' && request.method !== 'HEAD') this.sessions.acted(session);
    return actor;
  }
}

/** In the running dashboard. */
export function openAccess(
  {
    settings,
    training,
  }: { readonly settings: Pick<Settings, 'openReading' | 'demo'>; readonly training: boolean },
  given: Pick<AccessOptions, 'store' | 'programs' | 'now' | 'report'>,
): Access {
  return new Access({
    ...given,
    openReading: settings.openReading !== 'off',
    demo: settings.demo,
    training,
    cost: SCRYPT_COST,
    newId: randomUUID,
    monotonicMs: () => performance.now(),
  });
}
