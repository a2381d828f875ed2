/**
 * A joint on a page as one writes it first, only a baseline: a row a sample in SQLite, all rows as one JSON answer,
 * all of them into a line chart a channel. Arguments: file, folder of chart.js's own build.
 */
import { createReadStream } from 'node:fs';
import { createServer } from 'node:http';
import { join } from 'node:path';
import Database from 'better-sqlite3';

/** The animation is off so that there is a moment at which the lines are drawn; the rest is as shipped. */
const PAGE = `<!doctype html><title>joint</title><script src="/chart.js"></script><body><script>
const NAMES = ['current', 'voltage', 'feed', 'travel'];
async function openJoint() {
  const rows = await (await fetch('/rows')).json();
  for (const name of NAMES) {
    const box = document.body.appendChild(document.createElement('div'));
    box.className = 'chart';
    box.style.height = '160px';
    const canvas = box.appendChild(document.createElement('canvas'));
    const data = rows.map(row => ({ x: row.t, y: row[name] }));
    new Chart(canvas, {
      type: 'line',
      data: { datasets: [{ label: name, data }] },
      options: { animation: false, maintainAspectRatio: false, scales: { x: { type: 'linear' } } },
    });
  }
  document.body.dataset.rows = rows.length;
}
function closeJoint() {
  for (const box of document.querySelectorAll('.chart')) {
    Chart.getChart(box.firstChild).destroy();
    box.remove();
  }
}
</script>`;

export function runPlainPage(): void {
  const [, , , file = '', chartJs = ''] = process.argv;
  const db = new Database(file, { readonly: true });
  const rows = db.prepare('SELECT t, current, voltage, feed, travel FROM sample ORDER BY t');
  const server = createServer((request, response) => {
    if (request.url === '/chart.js') {
      response.setHeader('content-type', 'text/javascript');
      createReadStream(join(chartJs, 'chart.umd.js')).pipe(response);
    } else if (request.url === '/rows') {
      response.setHeader('content-type', 'application/json');
      response.end(JSON.stringify(rows.all()));
    } else {
      response.setHeader('content-type', 'text/html');
      response.end(PAGE);
    }
  });
  server.listen(0, '127.0.0.1', () => {
    const address = server.address();
    process.send?.({ port: typeof address === 'object' && address ? address.port : 0 });
  });
  process.on('disconnect', () => process.exit(0));
}
