"use strict";
(() => {
	// Switches: each entry of the legend shows or hides its groups of the plan.
	for (const item of document.querySelectorAll("#layers li")) {
		const label = document.createElement("label");
		const box = document.createElement("input");
		const words = document.createElement("span");
		box.type = "checkbox";
		box.checked = !("hidden" in item.dataset);
		words.append(...item.childNodes);
		label.append(box, words);
		item.append(label);
		const show = () => {
			for (const id of item.dataset.groups.split(" ")) {
				document.getElementById(id).setAttribute("visibility", box.checked ? "visible" : "hidden");
			}
		};
		show();
		box.addEventListener("change", show);
	}

	// What is wider than its place scrolls in it, by keys too.
	const reach = () => {
		for (const box of document.querySelectorAll(".scroll:not(.sheet)")) {
			if (box.scrollWidth > box.clientWidth) {
				box.tabIndex = 0;
			} else {
				box.removeAttribute("tabindex");
			}
		}
	};
	reach();
	addEventListener("resize", reach);

	// Depths: a cross on the plan goes where the pointer is, or by the arrow keys.
	const source = document.getElementById("depths");
	const sheet = document.getElementById("plan-sheet");
	if (!source || !sheet) {
		return;
	}
	const grid = JSON.parse(source.textContent);
	const bytes = Uint8Array.from(atob(grid.data), (c) => c.charCodeAt(0));
	const depths = new DataView(bytes.buffer);
	const drawing = sheet.querySelector("svg");
	const cross = document.createElementNS("http://www.w3.org/2000/svg", "path");
	cross.id = "plan-cross";
	cross.setAttribute("fill", "none");
	cross.setAttribute("stroke", "black");
	cross.setAttribute("stroke-width", "0.35");
	drawing.append(cross);

	const readout = document.createElement("p");
	readout.className = "readout";
	readout.setAttribute("role", "status");
	const depth = document.createElement("strong");
	const east = document.createElement("span");
	const north = document.createElement("span");
	readout.append(depth, east, north);
	const how = document.createElement("p");
	how.className = "how";
	how.id = "plan-how";
	how.textContent = "Point at the plan, or give it the focus and use the arrow keys (with Shift ten places at once). " + source.dataset.rounded;
	sheet.before(readout, how);
	sheet.tabIndex = 0;
	sheet.setAttribute("role", "application");
	sheet.setAttribute("aria-label", "Plan: arrow keys move a cross that reads depths");
	sheet.setAttribute("aria-describedby", "plan-how");

	let column = Math.floor(grid.columns / 2);
	let row = Math.floor(grid.rows / 2);
	const depthAt = (column, row) => {
		if (column < 0 || row < 0 || column >= grid.columns || row >= grid.rows) {
			return null;
		}
		const d = depths.getInt16(2 * (row * grid.columns + column), true);
		return d === grid.noDepth ? null : d * grid.quantum;
	};
	const words = (d) => {
		if (d === null) {
			return grid.noWords;
		}
		const figure = Math.abs(d).toFixed(grid.decimals);
		if (Number(figure) === 0) {
			return "at formation";
		}
		return (d > 0 ? "cut " : "fill ") + figure + " " + grid.unit;
	};
	const show = () => {
		const d = depthAt(column, row);
		const x = grid.x + column * grid.pitch;
		const y = grid.y - row * grid.pitch;
		cross.setAttribute("d", `M${x - 5} ${y}h4M${x + 1} ${y}h4M${x} ${y - 5}v4M${x} ${y + 1}v4`);
		depth.textContent = words(d);
		east.textContent = "E " + (grid.east + column * grid.step).toFixed(grid.places);
		north.textContent = "N " + (grid.north + row * grid.step).toFixed(grid.places);
		readout.className = "readout" + (d > 0 ? " cut" : d < 0 ? " fill" : "");
	};
	show();

	const point = (event) => {
		const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawing.getScreenCTM().inverse());
		column = Math.round((p.x - grid.x) / grid.pitch);
		row = Math.round((grid.y - p.y) / grid.pitch);
		readout.setAttribute("aria-live", "off");
		show();
	};
	drawing.addEventListener("pointermove", point);
	drawing.addEventListener("pointerdown", point);
	sheet.addEventListener("keydown", (event) => {
		const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
		if (!step || event.altKey || event.ctrlKey || event.metaKey) {
			return;
		}
		event.preventDefault();
		const far = event.shiftKey ? 10 : 1;
		const within = (n, most) => Math.min(Math.max(n, 0), most - 1);
		column = within(column + step[0] * far, grid.columns);
		row = within(row + step[1] * far, grid.rows);
		readout.setAttribute("aria-live", "polite");
		show();
		const at = cross.getBoundingClientRect();
		const box = sheet.getBoundingClientRect();
		if (at.left < box.left || at.right > box.right) {
			sheet.scrollLeft += (at.left + at.right - box.left - box.right) / 2;
		}
	});
})();
