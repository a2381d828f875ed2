/** Whether a page opened from this host is reached from this computer only: no link to it works on another device. */
export function isThisComputer(hostname: string): boolean {
  return /^(localhost|127(\.\d{1,3}){3}|\[?::1\]?)$/.test(hostname);
}
