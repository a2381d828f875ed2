/** Who may ask, before any route is looked at. These keep other web pages out; who a person is, auth/access-guard.ts asks. */
import { isIP } from 'node:net';
import type { RequestHandler } from 'express';
import { isSecure } from '../auth/session-cookie.ts';
import { ApiProblem } from './problem.ts';

/** Sent by our page and by programs; a form or an image on another page cannot send it. */
const OWN_HEADER = 'x-girthlog';

/** Asked by address, localhost or a configured name only: a foreign name that resolves here is refused. */
export function hostGuard(hostNames: readonly string[]): RequestHandler {
  const allowed = new Set(['localhost', ...hostNames.map(name => name.toLowerCase())]);
  return (request, _response, next) => {
    const host = (request.headers.host ?? '').toLowerCase();
    const name = host.replace(/:\d+$/, '').replace(/^\[(.*)\]$/, '$1');
    if (isIP(name) !== 0 || allowed.has(name)) next();
    else
      next(new ApiProblem(421, 'hostUnknown', 'This server does not answer to that name (see host_names).'));
  };
}

/**
 * A browser says which page a request comes from; programs say nothing. A page over plain HTTP is another one than ours
 * over TLS, whoever's name it bears; the other way round a proxy speaks TLS for us.
 */
export const originGuard: RequestHandler = (request, _response, next) => {
  const { origin, host } = request.headers;
  const isPlain = origin === `http://${host}` && !isSecure(request);
  if (origin === undefined || isPlain || origin === `https://${host}`) next();
  else next(new ApiProblem(403, 'originForeign', 'Requests from another web page are not answered.'));
};

export const entryGuard: RequestHandler = (request, _response, next) => {
  if (request.method === 'GET' || request.method === 'HEAD') return next();
  if (request.headers[OWN_HEADER] !== '1') {
    return next(
      new ApiProblem(
        403,
        'headerMissing',
        'A request that enters something carries the header x-girthlog: 1.',
      ),
    );
  }
  // Deleting needs no body, and a form cannot send it.
  if (request.method !== 'DELETE' && !request.is('application/json')) {
    return next(new ApiProblem(415, 'bodyNotJson', 'Send the body as application/json.'));
  }
  next();
};
