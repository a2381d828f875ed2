import type { Finding } from '#core/messages/api-journal';
import { said } from '../../text/said.ts';
import { pageLink } from '../ready/ready-rigs.ts';
import { jointUrl } from './joint-routes.ts';

interface JointFindingsProps {
  readonly findings: readonly Finding[];
  /** The joint of the page they stand on: a link to it leads nowhere. Null elsewhere. */
  readonly joint: string | null;
}

/** What is missing or against the rules, each with the one action that mends it. */
export function JointFindings({ findings, joint }: JointFindingsProps) {
  return (
    <ul class="findings">
      {findings.map(finding => {
        const link = pageLink(finding.link);
        const url = joint !== null && link === jointUrl(joint) ? null : link;
        return (
          <li key={`${finding.code} ${finding.text}`}>
            <span>{said(finding.text)}</span>{' '}
            {url === null ? (
              <strong>{said(finding.action)}</strong>
            ) : (
              <a class="button" href={url}>
                {said(finding.action)}
                <span class="sr-only">: {said(finding.text)}</span>
              </a>
            )}
          </li>
        );
      })}
    </ul>
  );
}
