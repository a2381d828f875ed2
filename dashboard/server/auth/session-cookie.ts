/** The cookie that carries a session's token: read by no script, sent to no other site. */
import type { Request, Response } from 'express';

/** Cookies do not know ports: `store` keeps two dashboards of one machine apart. */
export function cookieName(store: string, secure: boolean): string {
  return `${secure ? '__Host-' : ''}girthlog-${store}`;
}

export const isSecure = (request: Request): boolean =>
  (request.socket as { encrypted?: boolean }).encrypted === true;

export function tokenIn(request: Request, store: string): string | null {
  const name = cookieName(store, isSecure(request));
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [key, value] = part.trim().split('=');
    if (key === name && value !== undefined && value !== '') return value;
  }
  return null;
}

export function setToken(
  request: Request,
  response: Response,
  store: string,
  token: string,
  maxAgeS: number,
): void {
  write(request, response, store, token, maxAgeS);
}

export function dropToken(request: Request, response: Response, store: string): void {
  write(request, response, store, '', 0);
}

function write(request: Request, response: Response, store: string, value: string, maxAgeS: number): void {
  const secure = isSecure(request);
  response.append(
    'set-cookie',
    `${cookieName(store, secure)}=${value}; Path=/; Max-Age=${maxAgeS}; HttpOnly; SameSite=Strict${secure ? '; Secure' : ''}`,
  );
}
