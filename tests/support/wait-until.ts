const POLL_MS = 10;

/**
 * Polls until `condition` gives something truthy and returns it. Rejects after `timeoutMs`, naming `what`;
 * a function as `what` is asked only then. The limit says when to give up, not how long it may take: a program that
 * starts in a tenth of a second needs twenty seconds on a machine that does twenty other things.
 */
export async function waitUntil<T>(
  condition: () => T | Promise<T>,
  what: string | (() => string),
  timeoutMs = 60_000,
): Promise<NonNullable<T>> {
  const end = Date.now() + timeoutMs;
  for (;;) {
    const value = await condition();
    if (value) return value as NonNullable<T>;
    if (Date.now() > end)
      throw new Error(`waited ${timeoutMs} ms for ${typeof what === 'string' ? what : what()}`);
    await new Promise(resolve => setTimeout(resolve, POLL_MS));
  }
}
