/** Imported first: one sentence instead of whatever a too old Node would stumble over. */
const NEEDED = [20, 19] as const;

const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
if (major < NEEDED[0] || (major === NEEDED[0] && minor < NEEDED[1])) {
  process.stderr.write(`Node ${NEEDED.join('.')} or newer is needed; this is ${process.versions.node}.\n`);
  process.exit(3);
}
