/** Another web page in the browser of somebody who is signed in. */
import type { Request, Response } from 'express';
import { describe, expect, it } from 'vitest';
import { originGuard } from '../../dashboard/server/api/guards.ts';

function codeFor(origin: string | undefined, isTls: boolean): string {
  const headers = { host: 'truck-1', ...(origin === undefined ? {} : { origin }) };
  const request = { headers, socket: { encrypted: isTls } } as unknown as Request;
  let answer = 'nothing';
  originGuard(request, {} as Response, (error?: unknown) => {
    answer = error === undefined ? 'let in' : (error as { code: string }).code;
  });
  return answer;
}

describe('a page that says where it comes from', () => {
  it.each([
    // Somebody in between can put any page under the truck's name where nothing is encrypted.
    ['http://truck-1', true, 'originForeign'],
    ['https://truck-1', true, 'let in'],
    ['http://truck-1', false, 'let in'],
    // A proxy speaks TLS for it.
    ['https://truck-1', false, 'let in'],
    ['http://truck-1:8081', false, 'originForeign'],
    ['https://truck-1.elsewhere.example', true, 'originForeign'],
    // A page in a frame without an origin, or a file.
    ['null', true, 'originForeign'],
    [undefined, true, 'let in'],
  ])('%s, the dashboard over TLS: %s -> %s', (origin, isTls, expected) => {
    expect(codeFor(origin, isTls)).toBe(expected);
  });
});
