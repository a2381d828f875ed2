/** Settles with `task` or after `ms`, whichever is first. */
export function within(ms: number, task: Promise<void>): Promise<void> {
  return Promise.race([task, new Promise<void>(resolve => setTimeout(resolve, ms).unref())]);
}
