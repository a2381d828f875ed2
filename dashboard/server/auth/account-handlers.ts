/** What the routes of account-routes.ts do. */
import type { Express, Request, Response } from 'express';
import type { Person } from '#core/messages/api';
import type { SessionState } from '#core/messages/api-account';
import type { DashboardContext } from '../api/context.ts';
import { ApiProblem } from '../api/problem.ts';
import { expressPath, type Handler, inputOf, type RouteSpec, serve } from '../api/route.ts';
import { askerOf } from './access-guard.ts';
import { ACCOUNT_ROUTES as ROUTES } from './account-routes.ts';
import { type Actor, type Asker, actorMay } from './actor.ts';
import { dropToken, setToken } from './session-cookie.ts';
import { type LiveSession, WHOLE_MS } from './sessions.ts';
import type { SignedIn } from './sign-in.ts';
import { RIGHTS } from './who-may.ts';

type Input<S extends RouteSpec> = Parameters<Handler<S>>[0];
type Signed = Extract<Actor, { kind: 'person' }>;

export function addAccountRoutes(app: Express, { access, store }: DashboardContext): void {
  const { accounts, sessions, signIn } = access;

  serve(app, ROUTES.session, ({ asker }) => stateOf(asker.actor));
  // Counted by the guard, like everything that is not only read.
  serve(app, ROUTES.stillHere, ({ asker }) => stateOf(asker.actor));
  entering(ROUTES.signIn, ({ body, asker }) => signIn.byPassphrase(body, asker));
  entering(ROUTES.signInByLink, ({ body, asker }) => signIn.byLink(body.code, asker));
  entering(ROUTES.firstPassphrase, ({ body, asker }) => signIn.byCode(body, asker));
  entering(ROUTES.setUp, ({ body, asker }) => signIn.setUp(body, asker));

  app.delete(expressPath(ROUTES.signOut), (request: Request, response: Response) => {
    const asker = askerOf(request);
    if (asker.actor.kind === 'person') signIn.signOut(asker.actor.session, asker);
    dropToken(request, response, access.cookie);
    response.json(stateOf(access.nobody));
  });

  serve(app, ROUTES.ownSessions, ({ asker }) => ownList(signedIn(asker)));
  serve(app, ROUTES.endOwnSession, ({ params: { id }, asker }) => {
    const own = signedIn(asker);
    if (sessions.byId(id)?.stored.personId !== own.person.id) {
      throw new ApiProblem(404, 'sessionUnknown', 'That session is over already.');
    }
    accounts.endSession(id, asker);
    return ownList(own);
  });
  serve(app, ROUTES.endOtherSessions, ({ asker }) => {
    const own = signedIn(asker);
    accounts.endSessionsOf(own.person.id, own.session.stored.id, asker);
    return ownList(own);
  });
  serve(app, ROUTES.ownPassphrase, async ({ body, asker }) => {
    const own = signedIn(asker);
    await signIn.ownPassphrase(own, body, asker);
    return ownList(own);
  });

  serve(app, ROUTES.accounts, ({ asker }) => accounts.list(sessionOf(asker)));
  serve(app, ROUTES.openAccount, ({ body, asker }) => accounts.open(body, asker));
  serve(app, ROUTES.giveCode, ({ params: { person }, asker }) => accounts.giveCode(person, asker));
  serve(app, ROUTES.giveLink, ({ params: { person }, asker }) => {
    // Nobody signs in as somebody else, administrators neither.
    if (access.demo && asker.actor.kind === 'program') return accounts.giveLink(person, asker);
    throw new ApiProblem(403, 'noDemo', 'Sign-in links are given by the program of a demo only.');
  });
  serve(app, ROUTES.changeRoles, ({ params: { person }, body: { roles }, asker }) =>
    accounts.changeRoles(person, roles, asker),
  );
  serve(app, ROUTES.withdrawAccount, ({ params: { person }, asker }) => {
    accounts.withdraw(person, asker);
    return accounts.list(sessionOf(asker));
  });
  serve(app, ROUTES.endSession, ({ params: { id }, asker }) => {
    accounts.endSession(id, asker);
    return accounts.list(sessionOf(asker));
  });
  serve(app, ROUTES.audit, ({ query }) => {
    const { items, next } = store.audit.page(query);
    // All of it is gone through once, with the first page.
    const brokenAt = query.before === undefined ? store.audit.check().brokenAt : null;
    return { entries: [...items], next, brokenAt };
  });

  /** A route that ends with somebody signed in: its answer carries the cookie. */
  function entering<S extends RouteSpec>(spec: S, work: (input: Input<S>) => Promise<SignedIn>): void {
    app[spec.method](expressPath(spec), async (request: Request, response: Response) => {
      const { token, session, person } = await work(inputOf(spec, request));
      setToken(request, response, access.cookie, token, WHOLE_MS / 1000);
      response.status(spec.status).json(stateOf({ kind: 'person', person, session, idle: false }));
    });
  }

  function stateOf(actor: Actor): SessionState {
    const { openReading, demo } = access;
    const rights = RIGHTS.filter(right => actorMay(actor, right));
    if (actor.kind !== 'person') {
      const state = !accounts.hasAdministrator() ? 'setUp' : openReading ? 'reading' : 'signedOut';
      const nobody = { person: null, signInName: null, idleInS: null, endsInS: null };
      return { state, ...nobody, rights, openReading, demo };
    }
    const { person, session, idle } = actor;
    return {
      state: idle ? 'idle' : 'signedIn',
      person,
      signInName: store.accounts.of(person.id)?.signInName ?? null,
      rights,
      idleInS: sessions.idleInS(session),
      endsInS: sessions.endsInS(session),
      openReading,
      demo,
    };
  }

  function ownList({ person, session }: { person: Person; session: LiveSession }) {
    return accounts.sessionsOf(person.id, session);
  }
}

const sessionOf = ({ actor }: Asker): LiveSession | null => (actor.kind === 'person' ? actor.session : null);

function signedIn({ actor }: Asker): Signed {
  if (actor.kind === 'person') return actor;
  throw new ApiProblem(403, 'notAPerson', 'A program has no account of its own: sign in as a person.');
}
