import type { Finding } from '#core/messages/api-journal';
import { pageLink } from '../ready/ready-rigs.ts';
import { findingUrl } from './finding-url.ts';

interface JointFindingsProps {
  readonly findings: readonly Finding[];
  readonly joint: string | null;
}

/** What is missing or against the rules, each with the one action that mends it. */
export function JointFindings({ findings, joint }: JointFindingsProps) {
  return (
    <ul class="findings">
      {findings.map(finding => {
        const url = joint === null ? pageLink(finding.link) : findingUrl(finding, joint);
        return (
          <li key={`${finding.code} ${finding.text}`}>
            <span>{finding.text}</span>{' '}
            {url === null ? (
              <strong>{finding.action}</strong>
            ) : (
              <a class="button" href={url}>
                {finding.action}
                <span class="sr-only">: {finding.text}</span>
              </a>
            )}
          </li>
        );
      })}
    </ul>
  );
}
