"""True geometry: the belt line round wheels, chain on sprocket, sag, and worn part sections."""
