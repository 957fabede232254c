
namespace Keyline.Drainage;

/// <summary>Cells waiting in order of height; equal heights go by cell number.</summary>
internal sealed class CellHeap
{
    private ulong[] _keys;

    public CellHeap(int capacity) => _keys = new ulong[capacity];

    public int Count { get; private set; }

    public void Push(float height, int cell)
    {
        if (Count == _keys.Length)
        {
            Array.Resize(ref _keys, checked(2 * Count));
        }

        ulong key = HeightOrder.Key(height, cell);
        int at = Count++;
        while (at > 0)
        {
            int above = (at - 1) >> 1;
            if (_keys[above] <= key)
            {
                break;
            }

            _keys[at] = _keys[above];
            at = above;
        }

        _keys[at] = key;
    }

    public int Pop()
    {
        int cell = HeightOrder.Cell(_keys[0]);
        ulong key = _keys[--Count];
        int at = 0;
        while (true)
        {
            int below = (2 * at) + 1;
            if (below >= Count)
            {
                break;
            }

            if (below + 1 < Count && _keys[below + 1] < _keys[below])
            {
                below++;
            }

            if (_keys[below] >= key)
            {
                break;
            }

            _keys[at] = _keys[below];
            at = below;
        }

        _keys[at] = key;
        return cell;
    }
}
