/** Packages that load a compiled file or a font beside them: left out of the bundles, shipped in node_modules. */
export const EXTERNAL_PACKAGES = ['better-sqlite3', '@serialport/bindings-cpp', 'pdfkit', 'dejavu-fonts-ttf'];
