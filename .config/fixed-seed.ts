import fc from 'fast-check';

// CI repeats the same cases, so that a red run means a change; runs at a desk explore new ones each time.
if (process.env['CI']) fc.configureGlobal({ seed: 20_261_125 });
