/** The address to reach a listener at, which may listen on every address of the machine. */
export function reachable(host: string): string {
  return host === '0.0.0.0' ? '127.0.0.1' : host === '::' ? '::1' : host;
}

export function hostInUrl(host: string): string {
  return host.includes(':') ? `[${host}]` : host;
}
