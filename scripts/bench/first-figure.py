# The Python twin of the first lesson's opening: level over distance, drawn. Cells start at "# %%".
# %%
import numpy as np
import plotly.graph_objects as go
from IPython.display import HTML, display

# %%
distance = np.linspace(2, 40, 200)
level = 100 - 20 * np.log10(distance / 2)
figure = go.Figure(go.Scatter(x=distance, y=level, name="level"))
figure.update_layout(xaxis_title="distance, m", yaxis_title="level, dB")
display(HTML(figure.to_html(include_plotlyjs=False, full_html=False)))
