/**
 * Nobody does anything that the table of routes does not grant: a request is held against it before its body is read.
 * What is not in the table is not there.
 */
import type { Request, RequestHandler, Response } from 'express';
import { TRAINER_HEADER } from '#core/training/names';
import { ApiProblem, type ProblemStatus } from '../api/problem.ts';
import type { RouteSpec } from '../api/route.ts';
import { type Actor, type Asker, actorMay } from './actor.ts';
import { mayDo, rolesFor } from './who-may.ts';

/** Problem codes of every route that asks who somebody is. */
export const ACCESS_PROBLEMS = {
  signInNeeded: 401,
  signInAgain: 401,
  tokenUnknown: 401,
  roleMissing: 403,
  rightMissing: 403,
} as const satisfies Record<string, ProblemStatus>;

const refusal = (code: keyof typeof ACCESS_PROBLEMS, detail: string): ApiProblem =>
  new ApiProblem(ACCESS_PROBLEMS[code], code, detail);

const askers = new WeakMap<Request, Asker>();

/** Who asks; set before any handler runs. */
export function askerOf(request: Request): Asker {
  const asker = askers.get(request);
  if (!asker) throw new Error('a route outside the table of routes');
  return asker;
}

type Entry = Pick<RouteSpec, 'method' | 'path' | 'may'>;

export function accessGuard(
  routes: readonly Entry[],
  whoAsks: (request: Request, response: Response) => Asker,
): RequestHandler {
  // Words before placeholders: /exports/day is not an export of the id "day".
  const table = routes
    .map(spec => ({ spec, path: patternOf(spec.path), open: spec.path.split('{').length }))
    .sort((a, b) => a.open - b.open);
  return (request, response, next) => {
    // As the router reads it: an address that the two read differently would be guarded as one route and served as another.
    const path = request.baseUrl + request.path;
    const method = request.method === 'HEAD' ? 'get' : request.method.toLowerCase();
    const spec = table.find(one => one.spec.method === method && one.path.test(path))?.spec;
    const asker = whoAsks(request, response);
    askers.set(request, asker);
    if (!spec) {
      next(new ApiProblem(404, 'routeUnknown', `There is no ${request.method} ${path.slice(0, 200)}.`));
      return;
    }
    const problem = spec.may === 'anyone' ? null : refused(asker.actor, spec.may, request);
    next(problem ?? undefined);
  };
}

function refused(
  actor: Actor,
  may: Exclude<RouteSpec['may'], 'anyone'>,
  request: Request,
): ApiProblem | null {
  if (actorMay(actor, may)) return null;
  // The key itself is looked at where lessons are (training-handlers.ts).
  const keyed = may === 'train' || may === 'trainAlong';
  if (keyed && request.get(TRAINER_HEADER) !== undefined) return null;
  if (may === 'train') {
    return new ApiProblem(
      403,
      'trainerKeyMissing',
      'Only the trainer may do this: use the link you were given.',
    );
  }
  if (actor.kind === 'anyone') return refusal('signInNeeded', 'Sign in to do this.');
  if (actor.kind === 'program') {
    return refusal('rightMissing', `The program ${actor.name} was not given the right "${may}".`);
  }
  if (actor.idle && mayDo(actor.person, may)) {
    return refusal(
      'signInAgain',
      'Nothing was entered with this session for a while: sign in again to go on. Nothing is lost.',
    );
  }
  const roles = rolesFor(may).join(' or ');
  return refusal('roleMissing', `${actor.person.name} may not do this: that needs the role ${roles}.`);
}

/** {joint} stands for one part of the path. */
function patternOf(path: string): RegExp {
  const pattern = path
    .split('/')
    .map(part => part.replaceAll(/[.]/g, '\\.').replaceAll(/\{\w+\}/g, '[^/]+'))
    .join('/');
  return new RegExp(`^${pattern}$`);
}
