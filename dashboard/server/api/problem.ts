/** Refusals as RFC 9457 problem details: one stable code, one sentence, never a stack. */
import type { ErrorRequestHandler, RequestHandler, Response } from 'express';
import type { Problem } from '#core/messages/api';
import { NotCanonicalError } from '#core/record/canonical-json';
import type { ReportEvent } from '../internal-events.ts';
import { BadCursorError } from '../store/page.ts';
import { codeOf, isFull, storeErrorKind } from '../store/store-errors.ts';

const TITLES = {
  400: 'Bad request',
  401: 'Sign in first',
  403: 'Forbidden',
  404: 'Not found',
  405: 'Method not allowed',
  409: 'Conflict',
  413: 'Too large',
  415: 'Unsupported media type',
  421: 'Misdirected request',
  422: 'Not acceptable as it stands',
  429: 'Too many attempts',
  500: 'Internal error',
  503: 'Not available',
  507: 'Disk full',
} as const;
export type ProblemStatus = keyof typeof TITLES;

export class ApiProblem extends Error {
  readonly status: ProblemStatus;
  readonly code: string;

  constructor(status: ProblemStatus, code: string, detail: string) {
    super(detail);
    this.status = status;
    this.code = code;
  }
}

export function sendProblem(response: Response, problem: ApiProblem): void {
  const { status, code, message: detail } = problem;
  const body: Problem = { type: 'about:blank', title: TITLES[status], status, detail, code };
  if (status === 401) response.set('www-authenticate', 'Bearer realm="girthlog"');
  response.status(status).set('content-type', 'application/problem+json').send(JSON.stringify(body));
}

export const unknownRoute: RequestHandler = (request, _response, next) => {
  next(
    new ApiProblem(
      404,
      'routeUnknown',
      `There is no ${request.method} ${request.originalUrl.slice(0, 200)}.`,
    ),
  );
};

/** The one place where anything that went wrong in a request becomes an answer. */
export function problemHandler(
  report: ReportEvent,
  newId: () => string,
  onStoreError: (error: Error) => void,
): ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    if (response.headersSent) {
      next(error);
      return;
    }
    const problem = problemOf(error) ?? storeProblem(error, request.path) ?? unexpected(error, request.path);
    if (problem.status < 500)
      report('requestRefused', { code: problem.code, path: request.path.slice(0, 200) });
    sendProblem(response, problem);
  };

  /** The store cannot take or give anything now: said as it is, and told to whoever looks after it. */
  function storeProblem(error: unknown, path: string): ApiProblem | null {
    const kind = storeErrorKind(error);
    if (kind === null || kind === 'content') return null;
    report('storeFailed', { code: codeOf(error), path: path.slice(0, 200) });
    onStoreError(error as Error);
    if (isFull(error)) {
      return new ApiProblem(
        507,
        'storeFull',
        "The truck's disk is full and nothing was entered: free space, then enter it again.",
      );
    }
    return new ApiProblem(503, 'storeBlocked', 'The store cannot be used at this moment: try again.');
  }

  function unexpected(error: unknown, path: string): ApiProblem {
    const id = newId();
    const reason = error instanceof Error ? error.stack : String(error);
    report('requestFailed', { id, path: path.slice(0, 200), reason });
    return new ApiProblem(500, 'internal', `Something failed here; the log has it under ${id}.`);
  }
}

function problemOf(error: unknown): ApiProblem | null {
  if (error instanceof ApiProblem) return error;
  if (error instanceof NotCanonicalError) {
    return new ApiProblem(
      400,
      'bodyInvalid',
      `A text of the body is broken: ${error.message}.`.slice(0, 400),
    );
  }
  if (error instanceof BadCursorError) return new ApiProblem(400, 'queryInvalid', `${error.message}.`);
  const { type, status } = error as { type?: unknown; status?: unknown };
  if (type === 'entity.too.large') return new ApiProblem(413, 'bodyTooLarge', 'A body is at most 64 KB.');
  if (type === 'entity.parse.failed') return new ApiProblem(400, 'bodyNotJson', 'The body is not JSON.');
  if (type === 'charset.unsupported' || type === 'encoding.unsupported') {
    return new ApiProblem(415, 'bodyEncoding', 'Send the body as UTF-8 JSON, not compressed.');
  }
  if (status === 404) return new ApiProblem(404, 'fileUnknown', 'There is no such file here.');
  if (error instanceof URIError || (typeof status === 'number' && status >= 400 && status < 500)) {
    return new ApiProblem(400, 'requestInvalid', 'The request cannot be read.');
  }
  return null;
}
