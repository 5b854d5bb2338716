document.body.append(Object.assign(document.createElement("script"), { textContent: inflated(document.getElementById("program").textContent) }));
