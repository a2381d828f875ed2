/** GET /api/v1/stream: one more screen, from where it stopped and as often as it asks. */
import type { RequestHandler } from 'express';
import { streamQuerySchema } from '#core/messages/stream-pace';
import { ApiProblem } from '../api/problem.ts';
import { checked } from '../api/route.ts';
import type { StreamHub } from './stream-hub.ts';

export const openStream =
  (hub: StreamHub): RequestHandler =>
  (request, response) => {
    const { every_ms: everyMs } = checked('query', 'queryInvalid', streamQuerySchema, request.query);
    if (hub.add(response, request.get('last-event-id') ?? null, everyMs)) return;
    throw new ApiProblem(503, 'streamFull', 'Too many screens watch already (max_stream_clients).');
  };
