/** Requests beside the table of routes: the live stream ends with its session; figures are for this machine. */
import type { RequestHandler } from 'express';
import { ApiProblem } from '../api/problem.ts';
import { isLoopback } from '../settings.ts';
import { askerOf } from './access-guard.ts';
import { actorMay } from './actor.ts';
import type { Access } from './open-access.ts';

export function followSession({ sessions }: Access): RequestHandler {
  return (request, response, next) => {
    const { actor } = askerOf(request);
    if (actor.kind === 'person') {
      response.on(
        'close',
        sessions.follow(actor.session.stored.id, () => response.end()),
      );
    }
    next();
  };
}

/** From this machine, or by who may read anyway. */
export function figuresGuard({ whoAsks }: Access): RequestHandler {
  return (request, _response, next) => {
    const from = (request.socket.remoteAddress ?? '').replace(/^::ffff:/, '');
    if (isLoopback(from) || actorMay(whoAsks(request).actor, 'read')) next();
    else next(new ApiProblem(401, 'signInNeeded', 'Sign in to do this, or ask from this machine.'));
  };
}
