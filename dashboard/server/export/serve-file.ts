/** Answers that are files: sent as they are made, and no longer made when nobody reads on. */
import { createReadStream } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { setImmediate } from 'node:timers/promises';
import type { Express, Request, Response } from 'express';
import { ApiProblem } from '../api/problem.ts';
import { expressPath, type Handler, inputOf, type RouteSpec } from '../api/route.ts';
import { ArchiveError, inPieces } from './zip-stream.ts';

export interface FileAnswer {
  /** Letters, digits, ".", "-" and "_" only (file-name.ts). */
  readonly name: string;
  readonly body: FileBody;
}

export type FileBody =
  | Uint8Array
  | Iterable<string>
  /** A file of this machine. */
  | { readonly path: string }
  /** Ends when the signal says that nobody reads on. */
  | ((signal: AbortSignal) => AsyncIterable<Uint8Array>);

type Input<S extends RouteSpec> = Parameters<Handler<S>>[0];

export function serveFile<S extends RouteSpec>(
  app: Express,
  spec: S,
  handler: (input: Input<S>) => FileAnswer | Promise<FileAnswer>,
): void {
  app[spec.method](expressPath(spec), async (request: Request, response: Response) => {
    const { name, body } = await handler(inputOf(spec, request));
    const abort = new AbortController();
    response.once('close', () => abort.abort());
    const pieces = await begun(piecesOf(body, abort.signal));
    response.status(spec.status).type(spec.media ?? 'application/octet-stream');
    response.set('content-disposition', `attachment; filename="${name}"`);
    try {
      await pipeline(Readable.from(pieces), response);
    } catch (error) {
      // The reader went away: there is nobody to tell.
      if (!abort.signal.aborted) throw error;
    }
  });
}

async function* piecesOf(body: FileBody, signal: AbortSignal): AsyncGenerator<Uint8Array> {
  if (typeof body === 'function') yield* body(signal);
  else if (body instanceof Uint8Array) yield body;
  else if ('path' in body) yield* createReadStream(body.path) as AsyncIterable<Buffer>;
  else {
    for (const piece of inPieces(body)) {
      yield piece;
      // Other requests, and what the rigs send, come in between.
      await setImmediate();
    }
  }
}

/** What cannot even begin is an answer of its own, not a file that breaks off. */
async function begun(pieces: AsyncGenerator<Uint8Array>): Promise<AsyncGenerator<Uint8Array>> {
  let first: IteratorResult<Uint8Array>;
  try {
    first = await pieces.next();
  } catch (error) {
    if (error instanceof ArchiveError) throw new ApiProblem(503, 'exportFailed', error.message);
    throw error;
  }
  return (async function* () {
    if (first.done) return;
    yield first.value;
    yield* pieces;
  })();
}
