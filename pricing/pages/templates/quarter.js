// Long tables in another order, and looked through; without this they stand whole, as written.
const amount = (text) => { const hit = /^(?:under |over )?(-?)[^\d\s-]{0,4}(\d[\d,]*\.?\d*)(?![\d,]*-\d)/.exec(text); return hit ? +(hit[1] + hit[2].replaceAll(",", "")) : text.length > 1 ? undefined : -1e300; };
for (const table of document.querySelectorAll("table:has(tbody tr:nth-child(9))")) {
  const rows = [...table.tBodies[0].rows], says = (row, i) => row.cells[i].textContent, ways = [rows];
  table.insertAdjacentHTML("beforebegin", '<p class="find"><label>Find <input type="search"></label> <label>Order <select><option>as written</option></select></label></p>');
  const [find, order] = table.previousElementSibling.querySelectorAll("input, select");
  [...table.tHead.rows[0].cells].forEach((head, i) => {
    const counted = rows.every((row) => !isNaN(amount(says(row, i)))), name = head.textContent || "Name";
    const up = [...rows].sort((a, b) => (counted ? amount(says(a, i)) - amount(says(b, i)) : says(a, i).localeCompare(says(b, i))));
    for (const [way, put] of counted ? [["most first", [...up].reverse()], ["least first", up]] : [["A to Z", up]]) { order.add(new Option(`${name}, ${way}`)); ways.push(put); }
  });
  order.onchange = () => table.tBodies[0].append(...ways[order.selectedIndex]);
  find.oninput = () => { for (const row of rows) row.hidden = !row.textContent.toLowerCase().includes(find.value.trim().toLowerCase()); };
}
