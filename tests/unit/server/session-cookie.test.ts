/** Names and attributes of the cookie: RFC 6265bis, sections 4.1.2 and 4.1.3 (prefix __Host-), from memory. */
import type { Request, Response } from 'express';
import { describe, expect, it } from 'vitest';
import { dropToken, setToken, tokenIn } from '../../../dashboard/server/auth/session-cookie.ts';

const STORE = '0a1b2c3d';
const asked = (encrypted: boolean, cookie = ''): Request =>
  ({ socket: encrypted ? { encrypted } : {}, headers: { cookie } }) as unknown as Request;

function written(work: (response: Response) => void): string {
  let header = '';
  work({ append: (name: string, value: string) => (header = `${name}: ${value}`) } as unknown as Response);
  return header;
}

describe('the cookie of a session', () => {
  it('belongs to this host alone over TLS, and never goes over a plain line', () => {
    const header = written(response => setToken(asked(true), response, STORE, 'token', 60));
    expect(header).toBe(
      `set-cookie: __Host-girthlog-${STORE}=token; Path=/; Max-Age=60; HttpOnly; SameSite=Strict; Secure`,
    );
    expect(header).not.toContain('Domain');
    expect(tokenIn(asked(true, `a=b; __Host-girthlog-${STORE}=token`), STORE)).toBe('token');
    // One that was set over a plain line does not sign in over TLS.
    expect(tokenIn(asked(true, `girthlog-${STORE}=token`), STORE)).toBeNull();
  });

  it('is that of one dashboard, where two share a machine', () => {
    expect(tokenIn(asked(false, `girthlog-ffffffff=other; girthlog-${STORE}=own`), STORE)).toBe('own');
    expect(tokenIn(asked(false, 'girthlog-ffffffff=other'), STORE)).toBeNull();
    const header = written(response => dropToken(asked(false), response, STORE));
    expect(header).toBe(`set-cookie: girthlog-${STORE}=; Path=/; Max-Age=0; HttpOnly; SameSite=Strict`);
  });
});
