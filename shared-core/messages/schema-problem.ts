import type { z } from 'zod';

/**
 * One sentence for the first thing wrong with a value that a schema refused: where, and what.
 * An unknown key comes first: it is usually the misspelling behind "is missing".
 */
export function schemaProblem(error: z.ZodError): string {
  const { issues } = error;
  const issue = issues.find(candidate => candidate.code === 'unrecognized_keys') ?? issues[0];
  if (!issue) return 'it does not fit its schema';
  const where = issue.path.length > 0 ? `${issue.path.join('.')}: ` : '';
  return `${where}${whatIsWrong(issue)}`;
}

function whatIsWrong(issue: z.core.$ZodIssue): string {
  if (issue.code === 'unrecognized_keys') {
    return `unknown ${issue.keys.length > 1 ? 'keys' : 'key'} ${issue.keys.map(key => `"${key}"`).join(', ')}`;
  }
  if (issue.code === 'invalid_type' && issue.message.endsWith('received undefined')) return 'is missing';
  return issue.message.replace(/\s+/g, ' ').trim();
}
