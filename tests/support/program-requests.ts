import { AS_PROGRAM } from './program-token.ts';

type Headers = Readonly<Record<string, string>>;

/** Requests to a test's dashboard: read as nobody, entered as the program of program-token.ts. */
export function programRequests(url: string) {
  return {
    get: (path: string, headers: Headers = {}) => fetch(url + path, { headers }),
    remove: (path: string, headers: Headers = {}) =>
      fetch(url + path, { method: 'DELETE', headers: { 'x-girthlog': '1', ...AS_PROGRAM, ...headers } }),
    post: (path: string, body: unknown, headers: Headers = {}) =>
      fetch(url + path, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-girthlog': '1', ...AS_PROGRAM, ...headers },
        body: typeof body === 'string' ? body : JSON.stringify(body),
      }),
  };
}
