/** Work that gives way after every step: live values, records and other requests come in between. */
export async function inSteps<T>(steps: Generator<void, T>): Promise<T> {
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
    await new Promise(resolve => setImmediate(resolve));
  }
}
