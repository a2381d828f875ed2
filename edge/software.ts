import packageJson from '../package.json' with { type: 'json' };

/** Name and version that stand in every info and health message. */
export const SOFTWARE = `girthlog-edge ${packageJson.version}`;
