import { CompareView } from './compare-view.tsx';
import { EditView } from './edit-view.tsx';
import { ProcedureList } from './procedure-list.tsx';
import { ProcedureSheet } from './procedure-sheet.tsx';
import type { ProceduresRoute } from './procedures-route.ts';

/** Welding procedures: list, one revision, its making, and two beside each other. */
export function ProceduresView({ route }: { readonly route: ProceduresRoute }) {
  if (route.view === 'procedures') return <ProcedureList />;
  if (route.view === 'procedureNew') return <EditView key="new" from={null} />;
  if (route.view === 'procedureRevise') {
    const { id, revision } = route;
    return <EditView key={`${id}/${revision}`} from={{ id, revision }} />;
  }
  if (route.view === 'procedureCompare') return <CompareView id={route.id} a={route.a} b={route.b} />;
  return <ProcedureSheet key={`${route.id}/${route.revision}`} id={route.id} revision={route.revision} />;
}
