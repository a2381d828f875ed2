/** One request to a dashboard whose authority is known: the code and the keys go there, the credentials come back. */
import { request as plainRequest, type RequestOptions } from 'node:http';
import { request as tlsRequest } from 'node:https';
import { type EnrolmentAnswer, type EnrolmentRequest, enrolmentAnswerSchema } from '#core/messages/enrolment';
import { EXIT, ProgramError } from '#core/program/program-error';

const LIMIT_MS = 15_000;
const MAX_ANSWER_BYTES = 64 * 1024;

/** `authority`: whom to trust, PEM; null on plain HTTP. Throws ProgramError. */
export async function askDashboard(
  url: URL,
  authority: string | null,
  enrolment: EnrolmentRequest,
): Promise<EnrolmentAnswer> {
  const { status, text } = await post(
    new URL('/api/v1/enrolments', url),
    authority,
    JSON.stringify(enrolment),
  );
  let json: unknown = null;
  try {
    json = JSON.parse(text);
  } catch {
    // Said below.
  }
  if (status !== 201) {
    const detail = (json as { detail?: unknown } | null)?.detail;
    const said = typeof detail === 'string' ? detail : `${url.origin} answered ${status}`;
    throw new ProgramError(said.slice(0, 400), EXIT.network);
  }
  const answer = enrolmentAnswerSchema.safeParse(json);
  if (answer.success) return answer.data;
  throw new ProgramError(`${url.origin} answered what this version cannot read`, EXIT.network);
}

function post(url: URL, authority: string | null, body: string): Promise<{ status: number; text: string }> {
  const options: RequestOptions & { ca?: string; minVersion?: 'TLSv1.2'; allowPartialTrustChain?: boolean } =
    {
      method: 'POST',
      timeout: LIMIT_MS,
      headers: {
        'content-type': 'application/json',
        'content-length': Buffer.byteLength(body),
        'x-girthlog': '1',
      },
      // What was compared may be the last certificate shown, below an authority that is not.
      ...(authority === null ? {} : { ca: authority, minVersion: 'TLSv1.2', allowPartialTrustChain: true }),
    };
  return new Promise((resolve, reject) => {
    const send = authority === null ? plainRequest : tlsRequest;
    const request = send(url, options, response => {
      const chunks: Buffer[] = [];
      let bytes = 0;
      response.on('data', (chunk: Buffer) => {
        bytes += chunk.length;
        if (bytes > MAX_ANSWER_BYTES) request.destroy(new Error('an answer without end'));
        else chunks.push(chunk);
      });
      response.on('end', () =>
        resolve({ status: response.statusCode ?? 0, text: Buffer.concat(chunks).toString('utf8') }),
      );
    });
    request.on('timeout', () => request.destroy(new Error('no answer')));
    request.on('error', (error: NodeJS.ErrnoException) => reject(problemOf(url, error)));
    request.end(body);
  });
}

function problemOf(url: URL, error: NodeJS.ErrnoException): ProgramError {
  const code = error.code ?? error.message;
  if (code === 'ERR_TLS_CERT_ALTNAME_INVALID') {
    return new ProgramError(
      `the truck's certificate does not bear the name ${url.hostname}: ask by a name or address it bears, or add the name to host_names there`,
      EXIT.network,
    );
  }
  return new ProgramError(`${url.origin} cannot be asked (${code})`, EXIT.network);
}
