import sys,os,numpy as np
os.environ['OMP_NUM_THREADS']='1'
from synth import patch
a,b=int(sys.argv[1]),int(sys.argv[2])
os.makedirs('data',exist_ok=True)
for s in range(a,b):
    f=f'data/{s}.npz'
    if os.path.exists(f): continue
    try: d,y=patch(s)
    except Exception as e: print(s,e); continue
    np.savez('data/tmp%d.npz'%a,d=d,y=(np.clip(y,0,1)*255).astype(np.uint8)); os.rename('data/tmp%d.npz'%a,f)
